"""What comes with a call or on the command line: sizes and weights are read as in a recipe.

What is of the wrong kind is a TypeError that says what was expected; what is of the right kind and
can't be meant, a CallError.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from decimal import Decimal
from numbers import Real
from operator import index

from felt_engine.errors import CallError
from felt_engine.model.amount import Amount, Size
from felt_engine.model.recipe import Source
from felt_engine.reading.bounds import PIECES
from felt_engine.reading.decimals import both_ways, mixed
from felt_engine.reading.forms import SIZE
from felt_engine.reading.misread_size import of_shape, of_tuft
from felt_engine.reading.quantity import NUMBER, Refused, blanked, number, parse


def asked_size(text: object, what: str, piece: object = None) -> Size:
    """A size such as ``40 x 30 cm``. CallError, with what would mend it, for any other text.

    ``piece`` says by its shape, or is, what shape it is of: a round has one length.
    """
    if not isinstance(text, str):
        raise _wrong(what, "a size as text, such as 40 x 30 cm,", text)
    text = blanked(text)
    either = [one for one in both_ways(text) if SIZE.takes(one)] if mixed(text) else []
    if either:
        whichever = f"write {' or '.join(either)}{', whichever you mean' * (len(either) > 1)}"
        raise CallError(f"{what} “{text}” has two decimal signs: {whichever}")
    quick = SIZE.quick(text) if SIZE.quick else None
    if isinstance(quick, Size):
        return quick
    try:
        size = SIZE.value(text)
    except Refused as refused:
        mend = of_shape(
            refused.mend, piece if isinstance(piece, str) else getattr(piece, "shape", "")
        )
        mend = of_tuft(mend) if "tuft" in what else mend
        raise CallError(f"{what} “{text}” is no size: {_said(mend)}") from None
    assert isinstance(size, Size)
    return size


def asked_factor(text: str, what: str) -> float:
    """A factor such as ``1.5``, ``1,5`` or ``1 1/2``. CallError for anything else."""
    text = blanked(text)
    mend = "write a number such as 1.5 or 0.5"
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", text):
        mend = f"write {text.replace(',', '')} or {text.replace(',', '.')}, whichever you mean"
    elif re.fullmatch(NUMBER, text):
        try:
            value = number(text)
        except Refused as refused:
            raise CallError(f"{what} “{text}” is no factor: {refused.mend}") from None
        if value > 0:
            return value
    elif re.fullmatch(r"[0-9]{0,7}[.,][0-9]{7,}", text):
        mend = "write at most 6 digits behind the point"
    raise CallError(f"{what} “{text}” is no factor: {mend}")


def asked_weight(text: object, what: str) -> Amount:
    """A weight such as ``90 g``. CallError for any other text."""
    if not isinstance(text, str):
        raise _wrong(what, "a weight as text, such as 90 g,", text)
    try:
        return parse("weight", text)
    except Refused as refused:
        raise CallError(f"{what} “{text}” is no weight: {_said(refused.mend)}") from None


def asked_number(given: object, what: str, such_as: str) -> float:
    """A real number of any kind, as a float; infinity for one that is too large for a float."""
    if isinstance(given, bool) or not isinstance(given, (Real, Decimal)):
        raise _wrong(what, f"a number, such as {such_as},", given)
    try:
        return float(given)
    except OverflowError:
        return float("-inf") if given < 0 else float("inf")
    except ValueError:
        return float("nan")


def asked_path(given: object, what: str, such_as: str) -> str:
    """A path as text: of a str, or of a path object that stands for one."""
    path = os.fspath(given) if isinstance(given, os.PathLike) else given
    if not isinstance(path, str):
        raise _wrong(what, f"a path, such as {such_as},", given)
    return path


def asked_count(given: object, what: str) -> int:
    """A whole number from 1 to :data:`.bounds.PIECES`."""
    try:
        if isinstance(given, bool):
            raise TypeError
        count = index(given)  # type: ignore[arg-type]
    except TypeError:
        raise _wrong(what, "a whole number", given) from None
    if not 1 <= count <= PIECES:
        shown = f" {count}" if abs(count) < 10**9 else ""
        raise CallError(f"{what}{shown} is no count: give a whole number from 1 to {PIECES}")
    return count


def asked_seconds(given: object, what: str) -> float:
    """A time to wait, s: any number above 0, infinity too."""
    seconds = asked_number(given, what, "600")
    if not seconds > 0:
        raise CallError(f"{what} {seconds:g} is no time to wait: give seconds, more than 0")
    return seconds


def asked_names(given: object, what: str, such_as: str) -> tuple[str, ...]:
    """Names in a list or another collection; a text by itself would be taken letter by letter."""
    expected = f"a list of names, such as {such_as},"
    if isinstance(given, (str, bytes)) or not isinstance(given, Iterable):
        raise _wrong(what, expected, given)
    names = tuple(given)
    for one in names:
        if not isinstance(one, str):
            raise _wrong(what, expected, one)
    return names


def asked_have(given: object, what: str) -> tuple[str, Amount]:
    """A lot and a weight of it: a pair of texts, or one text such as ``grey: 90 g``."""
    pair = lot_and_weight(given, what) if isinstance(given, str) else given
    expected = 'a lot and a weight as texts, such as ("grey", "90 g"),'
    if not isinstance(pair, (tuple, list)):
        raise _wrong(what, expected, pair)
    if len(pair) != 2:
        raise TypeError(f"{what}: expected {expected} and not {len(pair)} of them")
    for one in pair:
        if not isinstance(one, str):
            raise _wrong(what, expected, one)
    return pair[0], asked_weight(pair[1], "what there is,")


def lot_and_weight(text: str, what: str) -> tuple[str, str]:
    """Both sides of the last colon. CallError where there is none, or nothing on a side of it."""
    lot, colon, weight = text.rpartition(":")
    if not colon or not lot.strip() or not weight.strip():
        raise CallError(f"{what} “{text}”: write a lot, a colon and a weight, such as “grey: 90 g”")
    return lot.strip(), weight.strip()


def _wrong(what: str, expected: str, given: object) -> TypeError:
    return TypeError(f"{what}: expected {expected} and not {type(given).__name__}")


def _said(mend: str) -> str:
    """A hint in the words of a call, which has no lines to leave out."""
    return re.sub(r", or leave the (?:whole )?line out", "", mend)


def asked_files(files: object) -> tuple[str, ...]:
    """Paths of rule files that the caller named. CallError for one that isn't there."""
    if isinstance(files, (bytes, Source)) or not isinstance(files, (str, os.PathLike, Iterable)):
        asked_path(files, "rule_files", "rules.py")
    each = [files] if isinstance(files, (str, os.PathLike)) else list(files)  # type: ignore[call-overload]
    found = tuple(asked_path(one, "rule_files", "rules.py") for one in each)
    for one in found:
        if not os.path.exists(one):
            raise CallError(f"there is no rule file {one}: name a Python file, or a folder of them")
    return found


__all__ = [
    "asked_count", "asked_factor", "asked_files", "asked_have", "asked_names", "asked_number",
    "asked_path", "asked_seconds", "asked_size", "asked_weight", "lot_and_weight",
]  # fmt: skip
