"""Sizes and weights that come with a call or on the command line, read as in a recipe."""

from __future__ import annotations

import re

from felt_engine.errors import CallError
from felt_engine.model.amount import Amount, Size
from felt_engine.reading.forms import SIZE
from felt_engine.reading.quantity import Refused, blanked, parse


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


def asked_weight(text: str, what: str) -> Amount:
    """A weight such as ``90 g``. CallError for anything else."""
    try:
        return parse("weight", text)
    except Refused as refused:
        raise CallError(f"{what} “{text}” is no weight: {_said(refused.mend)}") from None


def _said(mend: str) -> str:
    """A hint in the words of a call, which has no lines to leave out."""
    return re.sub(r", or leave the (?:whole )?line out", "", mend)


__all__ = ["asked_size", "asked_weight"]
