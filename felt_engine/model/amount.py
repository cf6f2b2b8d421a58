"""Amounts as the maker wrote them, with their value in SI units beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs

from felt_engine.value import Value, fenced

if TYPE_CHECKING:
    import pint

PINT_UNITS = {
    "weight": "kilogram",
    "length": "meter",
    "areal": "kilogram / meter ** 2",
    "fineness": "meter",
    "time": "second",
    "temperature": "kelvin",
}


RANGES: dict[str, tuple[float, float, str]] = {
    "weight": (1e-6, 200.0, "1 mg to 200 kg"),
    "length": (1e-4, 100.0, "0.1 mm to 100 m"),
    "position": (0.0, 100.0, "0 to 100 m"),
    "areal": (1e-4, 50.0, "0.1 g/m² to 50 kg/m²"),
    "fineness": (1e-6, 500e-6, "1 to 500 micrometres"),
    "time": (1.0, 60.0 * 60 * 24 * 60, "1 second to 60 days"),
    "temperature": (273.15, 473.15, "0 to 200 °C"),
}
"""SI range of each kind of quantity (low, high, in words): wide enough for any felt."""


HALF_A_DIGIT = 0.505e-6
"""Half of the sixth decimal, the last that is read, and a hundredth of that for the rounding of floats."""

ROUNDED = {
    **dict.fromkeys(("in", "inch", "inches", '"', "″", "”"), 0.0254),
    **dict.fromkeys(("ft", "foot", "feet", "'", "′", "’"), 0.3048),
    **dict.fromkeys(("yd", "yard", "yards"), 0.9144),
}
"""Units in which whole millimetres are written with rounded decimals, and their size, m."""


@attrs.frozen(eq=False, repr=False)
class Amount(Value):
    """A quantity: ``text`` as entered, ``unit`` the unit word in it, ``si`` its value.

    ``kind`` is one of weight (kg), length (m), areal (kg/m²), fineness (m), time (s),
    temperature (K).
    """

    text: str
    si: float
    unit: str
    kind: str

    @property
    def laid(self) -> float:
        """A length as it is laid out, m. In inches, feet or yards it is on the hundredth of a millimetre
        from which it is no farther than six decimals of that unit are rounded.

        So 7.874016 in and 20 cm end at one line, with no gap of nanometres between them.
        """
        size = ROUNDED.get(self.unit, 0.0)
        near = round(self.si, 5)
        return near if abs(self.si - near) <= HALF_A_DIGIT * size else self.si

    @fenced
    def to_pint(self, registry: pint.UnitRegistry[Any] | None = None) -> Any:
        """This amount as a pint quantity in SI units (pint is imported only here).

        TypeError for what is no registry of pint's.
        """
        return in_pint(self.si, PINT_UNITS[self.kind], registry)


def in_pint(value: float, unit: str, registry: pint.UnitRegistry[Any] | None) -> Any:
    """A figure as a quantity of this registry of pint's, or of the usual one."""
    if registry is None:
        import pint

        registry = pint.get_application_registry()  # type: ignore[no-untyped-call]
    if not callable(getattr(registry, "Quantity", None)):
        kind = type(registry).__name__
        raise TypeError(f"to_pint: expected a UnitRegistry of pint’s, and not {kind}")
    assert registry is not None
    return registry.Quantity(value, unit)


@attrs.frozen(eq=False, repr=False)
class Size(Value):
    """Width (west to east) and depth (near to far edge); a round thing has one length, across."""

    text: str
    width: Amount
    depth: Amount | None = None

    @property
    def sides(self) -> tuple[float, float]:
        """Width and depth, m; of a round thing its length across, twice."""
        return self.width.laid, (self.depth or self.width).laid


@attrs.frozen(eq=False, repr=False)
class Point(Value):
    """A place on the table: metres east and north of the near left corner of the laid-out size."""

    text: str
    east: Amount
    north: Amount


@attrs.frozen(eq=False, repr=False)
class Fineness(Value):
    """Fibre diameter in metres; a count grade spans a range, a stated figure does not."""

    text: str
    low: float
    high: float

    @property
    def usual(self) -> float:
        """The middle of the range, m."""
        return (self.low + self.high) / 2


@attrs.frozen(eq=False, repr=False)
class Direction(Value):
    """Which way the fibre lies. ``way`` is axis, random, radial or around.

    ``bearing`` is in degrees clockwise from north (the far edge of the table), 0 up to 180, and
    only stands where ``way`` is axis.
    """

    text: str
    way: str
    bearing: float | None = None


@attrs.frozen(eq=False, repr=False)
class Share(Value):
    """A part of a blend: ``basis`` is percent, parts or weight (kg), ``value`` the number."""

    text: str
    value: float
    basis: str


@attrs.frozen(eq=False, repr=False)
class Price(Value):
    """Money per weight: ``value`` in ``currency`` (ISO 4217 code) per kilogram."""

    text: str
    value: float
    currency: str


@attrs.frozen(eq=False, repr=False)
class Warmth(Value):
    """Water: a word (cold, cool, lukewarm, warm, hot) or a temperature, kelvin."""

    text: str
    kelvin: float | None = None


@attrs.frozen(eq=False, repr=False)
class Colour(Value):
    """A colour as entered and as ``#rrggbb`` in sRGB (IEC 61966-2-1)."""

    text: str
    hex: str
