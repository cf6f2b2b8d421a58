"""Colour: sRGB, CIELAB under D65, the CIEDE2000 difference, and blends of dyed fibre.

A linear colour is a triple (red, green, blue) of linear-light sRGB, each 0 to 1.  XYZ is scaled to
Y = 1 for white.  Lustre, wet wool and the screen's own profile are left out.
"""

from __future__ import annotations

import math
from functools import lru_cache

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

    Triple = tuple[float, float, float]

# Linear sRGB to XYZ, worked out in exact fractions from the chromaticities of IEC 61966-2-1:1999
# (red 0.64 0.33, green 0.30 0.60, blue 0.15 0.06, white D65 0.3127 0.3290; from memory), so that
# greys have a = b = 0.  The matrix printed in the standard is rounded to four decimals.
_RED_X, _GREEN_X, _BLUE_X = 0.4123907992659595, 0.35758433938387796, 0.1804807884018343
_RED_Y, _GREEN_Y, _BLUE_Y = 0.21263900587151036, 0.7151686787677559, 0.07219231536073371
_RED_Z, _GREEN_Z, _BLUE_Z = 0.01933081871559185, 0.11919477979462599, 0.9505321522496606
_WHITE_X, _WHITE_Z = 0.9504559270516717, 1.0890577507598784

# Constant of Stearns & Noechel for wool, and the least reflectance of a dyed fibre.
STEARNS_NOECHEL_B = 0.15
DARKEST = 0.012

_HEX_DIGITS = frozenset("0123456789abcdefABCDEF")
_DELTA = 6.0 / 29.0
_TWENTY_FIVE_7 = 25.0**7
_LAB_MOST = 1e6


def _channel(value: float) -> float:
    if not 0.0 <= value <= 1.0:
        raise ValueError(f"a linear channel must lie between 0 and 1, not {value!r}")
    return value


def _decoded(code: int) -> float:
    encoded = code / 255.0
    if encoded <= 0.04045:
        return encoded / 12.92
    return math.pow((encoded + 0.055) / 1.055, 2.4)


def _encoded(value: float) -> int:
    linear = _channel(value)
    if linear <= 0.0031308:
        return math.floor(255.0 * 12.92 * linear + 0.5)
    return math.floor(255.0 * (1.055 * math.pow(linear, 1.0 / 2.4) - 0.055) + 0.5)


def linear_of_hex(text: str) -> Triple:
    """Return the linear colour of "#rrggbb".

    ValueError for any other form.  Source: IEC 61966-2-1:1999 (constants from memory).
    """
    if len(text) != 7 or text[0] != "#" or not _HEX_DIGITS.issuperset(text[1:]):
        raise ValueError(f"a colour must be written as #rrggbb, not {text!r}")
    code = int(text[1:], 16)
    return _decoded(code >> 16), _decoded(code >> 8 & 255), _decoded(code & 255)


def hex_of_linear(linear: Triple) -> str:
    """Return a linear colour as "#rrggbb", each channel rounded to the nearest of 256 codes.

    ValueError for a channel outside 0 to 1.  Source: IEC 61966-2-1:1999 (constants from memory).
    """
    red, green, blue = linear
    return f"#{_encoded(red):02x}{_encoded(green):02x}{_encoded(blue):02x}"


def xyz_of_linear(linear: Triple) -> Triple:
    """Return the XYZ (D65, 2 degrees, white Y = 1) of a linear colour.

    ValueError for a channel outside 0 to 1.  Source: IEC 61966-2-1:1999 (primaries from memory).
    """
    red, green, blue = map(_channel, linear)
    return (
        _RED_X * red + _GREEN_X * green + _BLUE_X * blue,
        _RED_Y * red + _GREEN_Y * green + _BLUE_Y * blue,
        _RED_Z * red + _GREEN_Z * green + _BLUE_Z * blue,
    )


def _lab_curve(t: float) -> float:
    if t > _DELTA**3:
        return math.cbrt(t)
    return t / (3.0 * _DELTA * _DELTA) + 4.0 / 29.0


def lab_of_linear(linear: Triple) -> Triple:
    """Return the CIELAB L, a, b (D65) of a linear colour.

    ValueError for a channel outside 0 to 1.  Source: CIE 15:2004 (from memory).
    """
    x, y, z = xyz_of_linear(linear)
    along_x, along_y, along_z = _lab_curve(x / _WHITE_X), _lab_curve(y), _lab_curve(z / _WHITE_Z)
    lightness = 116.0 * along_y - 16.0
    return lightness, 500.0 * (along_x - along_y), 200.0 * (along_y - along_z)


def _lab(lab: Triple) -> Triple:
    if not all(-_LAB_MOST <= value <= _LAB_MOST for value in lab):
        raise ValueError(f"L, a and b must be finite numbers, not {lab!r}")
    return lab


def _chroma_hue(a: float, b: float) -> tuple[float, float]:
    """Return chroma and hue angle in degrees, 0 to 360; grey has hue 0."""
    hue = math.degrees(math.atan2(b, a)) if a or b else 0.0
    return math.hypot(a, b), hue if hue >= 0.0 else hue + 360.0


def _stretch(chroma: float) -> float:
    """Return how far a is stretched near the grey axis, from the mean chroma of both colours."""
    seventh = chroma**7
    return 1.0 + 0.5 * (1.0 - math.sqrt(seventh / (seventh + _TWENTY_FIVE_7)))


def _hue_step(hue1: float, hue2: float) -> float:
    """Return the signed short way round from one hue to the other, in degrees."""
    step = hue2 - hue1
    if step > 180.0:
        return step - 360.0
    return step + 360.0 if step < -180.0 else step


def _mean_hue(hue1: float, hue2: float) -> float:
    """Return the hue half-way along the short way round, in degrees."""
    total = hue1 + hue2
    if abs(hue1 - hue2) <= 180.0:
        return total / 2.0
    return (total + 360.0) / 2.0 if total < 360.0 else (total - 360.0) / 2.0


def _hue_weight(hue: float) -> float:
    """Return the factor T by which the eye's hue tolerance changes round the hue circle."""
    h = math.radians(hue)
    return (
        1.0
        - 0.17 * math.cos(h - math.radians(30.0))
        + 0.24 * math.cos(2.0 * h)
        + 0.32 * math.cos(3.0 * h + math.radians(6.0))
        - 0.20 * math.cos(4.0 * h - math.radians(63.0))
    )


def _rotation(chroma: float, hue: float) -> float:
    """Return the term that turns the tolerance ellipse in the blue region."""
    seventh = chroma**7
    turn = math.radians(60.0 * math.exp(-(((hue - 275.0) / 25.0) ** 2)))
    return -2.0 * math.sqrt(seventh / (seventh + _TWENTY_FIVE_7)) * math.sin(turn)


def delta_e_2000(lab1: Triple, lab2: Triple) -> float:
    """Return the CIEDE2000 difference of two CIELAB colours, with all weights 1.

    About 1 is just visible side by side.  ValueError for values that aren't finite.
    Source: Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21-30 (formula from memory).
    """
    (light1, a1, b1), (light2, a2, b2) = _lab(lab1), _lab(lab2)
    stretch = _stretch((math.hypot(a1, b1) + math.hypot(a2, b2)) / 2.0)
    chroma1, hue1 = _chroma_hue(a1 * stretch, b1)
    chroma2, hue2 = _chroma_hue(a2 * stretch, b2)
    hue, step = _mean_hue(hue1, hue2), _hue_step(hue1, hue2)  # a grey's hue drops out below

    chroma = (chroma1 + chroma2) / 2.0
    lift = ((light1 + light2) / 2.0 - 50.0) ** 2
    in_light = (light2 - light1) / (1.0 + 0.015 * lift / math.sqrt(20.0 + lift))
    in_chroma = (chroma2 - chroma1) / (1.0 + 0.045 * chroma)
    around = 2.0 * math.sqrt(chroma1 * chroma2) * math.sin(math.radians(step) / 2.0)
    in_hue = around / (1.0 + 0.015 * chroma * _hue_weight(hue))
    crossed = _rotation(chroma, hue) * in_chroma * in_hue
    return math.sqrt(in_light**2 + in_chroma**2 + in_hue**2 + crossed)


def difference(linear1: Triple, linear2: Triple) -> float:
    """Return the CIEDE2000 difference of two linear colours.

    ValueError for a channel outside 0 to 1.  Source: as for `delta_e_2000`.
    """
    return delta_e_2000(lab_of_linear(linear1), lab_of_linear(linear2))


def _constant(b: float) -> float:
    if not 0.0 <= b < 1.0:
        raise ValueError(f"the blending constant must be at least 0 and below 1, not {b!r}")
    return b


def sn_f(reflectance: float, b: float = STEARNS_NOECHEL_B) -> float:
    """Return the additive function of a reflectance (0 to 1): (1 - R) / (b (R - 0.01) + 0.01).

    ValueError for a reflectance outside 0 to 1 or a constant outside 0 <= b < 1.
    Source: Stearns & Noechel, American Dyestuff Reporter 33 (1944) 177-180 (citation from memory).
    """
    r = _channel(reflectance)
    return (1.0 - r) / (_constant(b) * (r - 0.01) + 0.01)


def sn_inverse(f: float, b: float = STEARNS_NOECHEL_B) -> float:
    """Return the reflectance (0 to 1) whose additive function is f: the inverse of `sn_f`.

    ValueError for an f that no reflectance has.  Source: as for `sn_f`.
    """
    most = sn_f(0.0, b)
    if not 0.0 <= f <= most:
        raise ValueError(f"f must lie between 0 and {most:.6g}, not {f!r}")
    return max(0.0, (1.0 - 0.01 * f * (1.0 - b)) / (1.0 + b * f))


@lru_cache(maxsize=1024)
def _additive(linear: Triple) -> Triple:
    """The additive function of each channel, none of them darker than :data:`DARKEST`."""
    red, green, blue = (sn_f(max(DARKEST, _channel(one))) for one in linear)
    return red, green, blue


def blend(shares: Iterable[tuple[float, Triple]]) -> Triple:
    """Return the linear colour of well-blended fibres given as (share, linear colour).

    Shares are masses (or coverages) in any one unit; they are divided by their sum.  Stearns and
    Noechel's formula with b = 0.15 is used on each linear channel, and no channel counts as darker
    than 0.012.  ValueError for a negative share, no share at all, or a channel outside 0 to 1.
    Source: Stearns & Noechel 1944; a blend by channel in place of wavelength is this project's
    simplification.
    """
    total = red = green = blue = 0.0
    for share, colour in shares:
        if not 0.0 <= share <= 1e100:
            raise ValueError(f"a share must be zero or a positive finite number, not {share!r}")
        total += share
        of_red, of_green, of_blue = _additive(colour)
        red += share * of_red
        green += share * of_green
        blue += share * of_blue
    if not total:
        raise ValueError("a blend needs at least one share above 0")
    return sn_inverse(red / total), sn_inverse(green / total), sn_inverse(blue / total)
