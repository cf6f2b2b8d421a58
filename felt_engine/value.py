"""Frozen values at a third of the start-up cost: equality, hash and repr shared, not generated.

``attrs`` writes and compiles these three for every class; with sixty value classes that took longer
than reading and judging a recipe. :class:`lazy` is a property that is worked out once, and
:func:`kept` a function that is worked out once for each thing that it is asked about.
"""

from __future__ import annotations

from functools import wraps

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any, TypeVar

    Work = TypeVar("Work", bound=Callable[..., Any])


class Value:
    """Base of the frozen attrs classes: equal if of one class with equal fields.

    Fields marked ``eq=False`` or ``repr=False`` are left out, as in attrs itself.
    """

    __slots__ = ()

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return all(
            getattr(self, field.name) == getattr(other, field.name)
            for field in self.__attrs_attrs__  # type: ignore[attr-defined]
            if field.eq
        )

    def __hash__(self) -> int:
        fields = self.__attrs_attrs__  # type: ignore[attr-defined]
        return hash((type(self), *(getattr(self, f.name) for f in fields if f.eq)))

    def __repr__(self) -> str:
        fields = self.__attrs_attrs__  # type: ignore[attr-defined]
        shown = ", ".join(f"{f.name}={getattr(self, f.name)!r}" for f in fields if f.repr)
        return f"{type(self).__name__}({shown})"


class Forgetful:
    """An attrs class that keeps what was worked out of it, and is copied and pickled without that.

    What is kept goes by the identity of things, which is another in the copy.
    """

    def __getstate__(self) -> dict[str, Any]:
        return {field.name: getattr(self, field.name) for field in self.__attrs_attrs__}  # type: ignore[attr-defined]


class Fixed(dict):  # type: ignore[type-arg]
    """A dict that can't be changed: what many rules are given one after the other."""

    def _refuse(self, *_: Any, **__: Any) -> Any:
        raise TypeError("it can't be changed")

    __setitem__ = __delitem__ = __ior__ = clear = pop = popitem = setdefault = update = _refuse

    def __reduce__(self) -> Any:
        return type(self), (dict(self),)


class _Lazy:
    """A property that is worked out when first asked for, then kept on the instance.

    Without the lock of the standard library's before Python 3.12; two threads may both work it out.
    """

    def __init__(self, work: Callable[[Any], Any]) -> None:
        self.work, self.name = work, work.__name__
        self.__doc__ = work.__doc__

    def __get__(self, thing: Any, kind: Any = None) -> Any:
        if thing is None:
            return self
        value = thing.__dict__[self.name] = self.work(thing)
        return value


def kept(work: Work) -> Work:
    """A function whose answers are kept on its first argument, by the others, which make a key."""
    name = f"{work.__module__}.{work.__qualname__}"

    @wraps(work)
    def asked(thing: Any, *more: Any) -> Any:
        answers = thing.__dict__.setdefault(name, {})
        if more not in answers:
            answers[more] = work(thing, *more)
        return answers[more]

    return asked  # type: ignore[return-value]


def kept_by_one(work: Work) -> Work:
    """A function of two things whose answers are kept on the first, by the very object that is second.

    For a second one that takes long to compare: a zone, a recipe.
    """
    name = f"{work.__module__}.{work.__qualname__}"

    @wraps(work)
    def asked(thing: Any, other: Any) -> Any:
        answers = thing.__dict__.setdefault(name, {})
        known = answers.get(id(other))
        if known is None or known[0] is not other:
            known = answers[id(other)] = other, work(thing, other)
        return known[1]

    return asked  # type: ignore[return-value]


def fenced(work: Work, shown: str = "") -> Work:
    """A public function that says of what it can't work with no more than TypeError or ValueError.

    ``shown`` is the name that it is called by, where it isn't its own.
    """
    name = shown or work.__qualname__

    @wraps(work)
    def asked(*given: Any, **named: Any) -> Any:
        try:
            return work(*given, **named)
        except AttributeError as error:
            raise TypeError(f"{name} was given something of another kind: {error}") from error
        except (ArithmeticError, LookupError) as error:
            raise ValueError(f"{name} can't work with what it was given: {error}") from error

    return asked  # type: ignore[return-value]


if TYPE_CHECKING:
    lazy = property
else:
    lazy = _Lazy
