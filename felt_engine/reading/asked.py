"""Sizes and weights that come with a call or on the command line, read as in a recipe."""

from __future__ import annotations

import re

from felt_engine.errors import CallError
from felt_engine.model.amount import Amount, Size
from felt_engine.reading.forms import SIZE
from felt_engine.reading.quantity import NUMBER, Refused, blanked, number, parse


def asked_size(text: str, what: str) -> Size:
    """A size such as ``40 x 30 cm``. CallError, with what would mend it, for anything else."""
    text = blanked(text)
    quick = SIZE.quick(text) if SIZE.quick else None
    if isinstance(quick, Size):
        return quick
    compiled = re.compile(SIZE.regex)
    match = compiled.match(text)
    if match is None:
        raise CallError(f"{what} “{text}” is no size: {_said(SIZE.hint(text, compiled))}")
    try:
        size = SIZE.make(match)
    except Refused as refused:
        raise CallError(f"{what} “{text}” is no size: {_said(refused.mend)}") from None
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
    raise CallError(f"{what} “{text}” is no factor: {mend}")


def asked_weight(text: str, what: str) -> Amount:
    """A weight such as ``90 g``. CallError for anything else."""
    try:
        return parse("weight", text)
    except Refused as refused:
        raise CallError(f"{what} “{text}” is no weight: {_said(refused.mend)}") from None


def _said(mend: str) -> str:
    """A hint in the words of a call, which has no lines to leave out."""
    return re.sub(r", or leave the (?:whole )?line out", "", mend)


__all__ = ["asked_factor", "asked_size", "asked_weight"]
