"""Hints that offer a text to write instead. Each text is read before it is offered."""

from __future__ import annotations

from felt_engine.plain_text import NO_OTHER

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable


class Offer(str):
    """The words of a hint, with the texts that it offers."""

    texts: tuple[str, ...] = ()


def offer(words: str, *texts: str) -> Offer:
    """A hint in these words that offers these texts."""
    made = Offer(words)
    made.texts = texts
    return made


def any_of(texts: list[str], tail: str = "") -> Offer:
    """A hint to write the one text, or whichever of several is meant."""
    if len(texts) > 1:
        return offer(f"write {' or '.join(texts)}, whichever you mean", *texts)
    return offer(f"write {texts[0]}{tail}", *texts)


def if_meant(text: str) -> Offer:
    """A hint to write this text, as the likeliest of what may be meant."""
    return any_of([text], ", if that is meant")


def sound(mend: str, reads: Callable[[str], bool], otherwise: str) -> str:
    """The hint, if all that it offers is read; else other words that offer nothing."""
    return mend if not isinstance(mend, Offer) or all(map(reads, mend.texts)) else otherwise


def with_blanks(found: str, mend: str) -> str:
    """What was found, which is shown without its blanks, where only these are wrong."""
    if not mend.endswith(NO_OTHER):
        return found
    return f"{found.removesuffix(', which is not known')}, with other blanks"
