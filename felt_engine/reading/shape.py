"""What a value may be: one declaration that reads the tree, words the errors and is the schema.

A kind has ``read(node, at, ctx)``, which returns a value or :data:`BAD` after noting a problem, and
``schema(defs)``, which returns its JSON Schema (draft 2020-12). Because both come from one place,
reader and schema can't drift apart; a property test holds them to it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from typing import Any

from felt_engine.errors import Problem
from felt_engine.model.place import escape, steps
from felt_engine.plain_text import NO_OTHER
from felt_engine.reading import bounds, quantity, words
from felt_engine.reading.offers import offer, sound, with_blanks
from felt_engine.reading.quantity import Refused, blanked, widened
from felt_engine.reading.source import shows
from felt_engine.reading.tree import Node
from felt_engine.reading.yaml_tree import NOTHING, is_nothing

Json = dict[str, Any]


class _Bad:
    """The value of something that could not be read."""

    def __repr__(self) -> str:
        return "BAD"


BAD: Any = _Bad()


class Enough(Exception):
    """So many problems that looking for more helps nobody."""


_HASH = re.compile(r"[^\s#][ \t]+(#[^\s#]+)")


class Context:
    """Collects the problems of one file."""

    def __init__(
        self, text: str, door: str, tables: Mapping[str, Mapping[str, str]] | None = None
    ) -> None:
        self.text = text
        self.door = door
        self.tables = tables or {}
        self.problems: list[Problem] = []
        self.listed: dict[str, tuple[int, int]] = {}
        self.nameless: set[str] = set()  # entries of which the name isn't told from the value
        self.cut: dict[int, str] = {}
        if door == "yaml" and " #" in text:
            self.cut = {m.start() + 1: m[1] for m in _HASH.finditer(text)}

    def bad(
        self, node: Node, at: str, expected: str, mend: str, found: str = "", kind: str = "shape"
    ) -> Any:
        """Note a problem at a node; returns BAD."""
        found = found or describe(node)
        told = getattr(mend, "texts", ())
        same = found == f'"{told[0]}"' and told[0] != node.text if told else False
        found = f"{found}, with other blanks" if same else with_blanks(found, mend)
        for text in told if self.door == "yaml" else ():
            # inside { } it would be cut in two, or it would be a comment
            cut = "," in text and ("," not in node.text or node.quoted)
            if (cut or text.startswith("#")) and f'"{text}"' not in mend:
                mend = mend.replace(text, f'"{text}"')
        problem = node.problem(found, expected, str(mend), at, kind)
        self.problems.append(problem)
        if len(self.problems) > bounds.PROBLEMS_SOUGHT:
            raise Enough
        return BAD

    def listing(self, what: str, names: Iterable[str], node: Node) -> str:
        """What is expected, with all the names that may stand there; only once in a file."""
        number, line = self.listed.setdefault(what, (len(self.problems), node.line))
        if number == len(self.problems):
            return f"{what}: {', '.join(names)}"
        return f"{what}, as listed for line {line}"


def describe(node: Node) -> str:
    """What was found, short enough to read."""
    if node.kind == "map":
        return "a group of keys"
    if node.kind == "list":
        return "a list"
    if is_nothing(node) or (node.kind == "other" and node.text == "null"):
        return "nothing"
    text = " ".join(node.text.split()) or node.text[:9]
    return f'"{text[:57]}…"' if len(text) > 60 else f'"{text}"'


def text_of(node: Node, at: str, ctx: Context, expected: str, numbers: bool = False) -> str | Any:
    """The text of a node, or BAD: a map, a list, nothing, or (in JSON) no text."""
    if node.kind == "text" and (node.quoted or node.value not in NOTHING or ctx.door != "yaml"):
        return node.value
    if numbers and node.kind == "number":
        return node.value
    if node.kind == "text":
        from felt_engine.reading.broken import in_quotes, lost_comment

        lost = lost_comment(ctx.text, node)
        if lost:
            word, place = lost
            return ctx.bad(
                place, at, expected, f"{in_quotes(word)} (a bare # starts a comment)",
                found=f"nothing, since {word[:40]} was taken for a comment",
            )  # fmt: skip
    if node.kind in ("map", "list"):
        return ctx.bad(node, at, expected, "write one text")
    if node.kind == "text" or node.text == "null":
        return ctx.bad(node, at, expected, "write it, or leave the whole line out")
    if node.kind == "other":
        return ctx.bad(node, at, expected, "write what is expected here, in double quotes")
    return ctx.bad(node, at, expected, "put it in double quotes")


class Kind:
    """Base of the kinds; not for use outside this package."""

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """The value, or BAD after noting why."""
        raise NotImplementedError

    def schema(self, defs: Json) -> Json:
        """The JSON Schema of this kind; shared parts go into ``defs``."""
        raise NotImplementedError


class Text(Kind):
    """Free text; ``lines`` allows more than one line."""

    def __init__(self, most: int = bounds.TEXT_LENGTH, lines: bool = True) -> None:
        self.most, self.lines = most, lines

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """The text without blanks at its ends."""
        text = text_of(node, at, ctx, "a text", numbers=True)
        if text is BAD:
            return BAD
        if not text.strip():
            return ctx.bad(node, at, "a text", "write it, or leave the whole line out")
        if not shows(text):
            return ctx.bad(node, at, "a text that shows", "type it anew", kind="limit")
        if len(text) > self.most:
            kind = "limit" if node.kind == "number" else "shape"
            most = f"at most {self.most} characters"
            return ctx.bad(node, at, most, "shorten it", kind=kind)
        if not self.lines and ("\n" in text or "\r" in text):
            return ctx.bad(node, at, "one line", "write it on one line")
        if node.end in ctx.cut and not node.quoted:
            behind = ctx.cut[node.end][:40]
            return ctx.bad(
                node, at, "a text that is plainly whole",
                "put the whole text in quotes, or write a blank behind # if a comment is meant",
                found=f"{describe(node)}, since {behind} was taken for a comment", kind="text",
            )  # fmt: skip
        return text.strip()

    def schema(self, defs: Json) -> Json:
        """A string, or a number whose text is meant."""
        one = r"^(?=[^\n\r]*\S)[^\n\r]*$(?![\n])"
        found: Json = {"type": ["string", "number"], "maxLength": self.most}
        found["pattern"] = r"\S" if self.lines else one
        return found


class Thing(Text):
    """What there is, in the maker's own words, on one line; not a word for nothing."""

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """The text."""
        text = super().read(node, at, ctx)
        if text is BAD or text.lower().rstrip(".!") not in words.NOTHING_THERE:
            return text
        mend = "leave the key out, if there is none"
        return ctx.bad(node, at, "what there is", mend, kind="limit")


class Word(Kind):
    """One of a few words."""

    def __init__(self, what: str, *words: str) -> None:
        self.what, self.words = what, words

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """The word."""
        expected = f"{self.what}: " + ", ".join(self.words)
        if node.kind == "number":
            return ctx.bad(node, at, expected, "take one of these, in double quotes")
        text = text_of(node, at, ctx, expected)
        if text is BAD or text in self.words:
            return text
        from felt_engine.suggest import did_you_mean

        low = text.lower().strip()
        hint = words.HINTS.get(low)
        if low.startswith("all") and "edge" not in self.what and "side" not in self.what:
            hint = None
        several = [one for one in self.words if re.search(rf"\b{re.escape(one)}\b", low)]
        if len(several) > 1 and hint is None:
            return ctx.bad(node, at, expected, f"write one of them: {' or '.join(several)}")
        if low in ("both", "each", "either", "all") and hint is None:
            return ctx.bad(node, at, expected, "take one of these")
        if hint in self.words:
            return ctx.bad(node, at, expected, f'write "{hint}", if that is meant')
        if hint is not None and hint not in words.ALL:
            return ctx.bad(node, at, expected, hint)
        return ctx.bad(node, at, expected, did_you_mean(text, self.words, "take one of these"))

    def schema(self, defs: Json) -> Json:
        """An enumeration."""
        return {"enum": list(self.words)}


class Entry(Text):
    """The name of an entry of a table that was handed over (fibres, uses, hazards).

    ``always`` are names that are there whatever was handed over.
    """

    def __init__(self, table: str, otherwise: str, *always: str) -> None:
        super().__init__(bounds.NAME_LENGTH, lines=False)
        self.table, self.otherwise = table, otherwise
        self.always = {name: name for name in always}

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """The entry's own name, also where another name for it was written."""
        text = super().read(node, at, ctx)
        added = ctx.tables.get(self.table)
        if text is BAD or (added is None and not self.always):
            return text
        table = {**self.always, **(added or {})} if self.always else added or {}
        found = table.get(text)
        return self.unknown(node, at, text, table, ctx) if found is None else found

    def unknown(
        self, node: Node, at: str, text: str, table: Mapping[str, str], ctx: Context
    ) -> Any:
        """Note a name that the table lacks."""
        from felt_engine.suggest import did_you_mean, treated

        *_, owner, key = ("", "", *steps(at))  # what says that it is like another isn't that itself
        others = {n: meant for n, meant in table.items() if key != "like" or n != owner}
        mend = treated(text, others) or did_you_mean(text, others, self.otherwise)
        expected = f"a {self.table} of the table"
        if mend == self.otherwise:
            expected = ctx.listing(expected, sorted(set(table.values())), node)
        found = f"the {self.table} {describe(node)}, which is not known"
        return ctx.bad(node, at, expected, mend, found, kind="link")


class Count(Kind):
    """A whole number."""

    def __init__(self, low: int, high: int) -> None:
        self.low, self.high = low, high

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """The number."""
        expected = f"a whole number from {self.low} to {self.high}"
        if self.low == self.high:
            expected = f"{self.low}"
        value = self.whole(node)
        if value is not None:
            if self.low <= value <= self.high:
                return value
            one = offer(f"write {self.low}", str(self.low))
            return ctx.bad(node, at, expected, one if self.low == self.high else "check the number")
        text = node.text if node.kind in ("text", "number") else ""
        grouped = re.fullmatch(r"([1-9][0-9]{0,2})[.,]([0-9]{3})", text)
        if grouped and int(grouped[1]) >= self.low and int(grouped[1] + grouped[2]) <= self.high:
            exact = (
                f" or {grouped[1]}, whichever you mean"
                if grouped[2] == "000"
                else ", if that is meant"
            )
            mend = f"write {grouped[1]}{grouped[2]}{exact}"
            return ctx.bad(node, at, expected, mend, kind="limit")
        from felt_engine.reading.misread import counted

        found = None if grouped else counted(text)
        if found is None or not self.low <= found[0] <= self.high:
            figures = found is not None or re.fullmatch(r"[0-9]+", text)
            return ctx.bad(
                node, at, expected, "check the number" if figures else "write a whole number"
            )
        count, sure = str(found[0]), found[1]
        bare = ", without quotes" if node.kind == "text" and node.quoted else ""
        mend = f"write {count}{bare}{'' if sure else ', if that is meant'}"
        return ctx.bad(node, at, expected, offer(mend, count))

    @staticmethod
    def whole(node: Node) -> int | None:
        """The whole number that this node is; JSON may write 2 as 2.0 or 20e-1."""
        if node.kind == "number":
            if re.fullmatch(r"[1-9][0-9]{0,2}[.][0-9]{3}", node.text):
                return None  # thousands, or nothing behind the point
            value = float(node.text)
            if not value.is_integer() or abs(value) >= 1e15:
                return None
            from decimal import Decimal

            with suppress(ArithmeticError):  # an exponent past all
                return int(value) if Decimal(node.text) == int(value) else None
            return None
        plain = node.kind == "text" and not node.quoted
        match = re.fullmatch(r"(0|[1-9][0-9]{0,8})(?:[.]0)?", node.text) if plain else None
        return int(match[1]) if match else None

    def schema(self, defs: Json) -> Json:
        """An integer in a range."""
        return {"type": "integer", "minimum": self.low, "maximum": self.high}


def _with_unit(figure: str, kinds: tuple[str, ...]) -> str:
    """What mends a bare number where an amount is wanted."""
    from decimal import Decimal

    number = Decimal(figure)
    if number == 0 and kinds == ("position",):
        return offer('write "0 cm" or "0 in"', "0 cm", "0 in")
    if number <= 0:
        return "write an amount above nothing with its unit, in quotes"
    if not -9 < number.adjusted() < 9:
        return "check the figure, and say its unit, in quotes"
    return f'say the unit, in quotes: "{number:f} …"'


class Quantity(Kind):
    """A number with a unit, of one of these kinds of quantity."""

    def __init__(self, *kinds: str) -> None:
        self.kinds = kinds

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """An Amount."""
        expected = " or ".join(
            f"{quantity.NAMES[k]} such as {quantity.EXAMPLES[k]}" for k in self.kinds
        )
        if node.kind == "number":
            return ctx.bad(node, at, expected, _with_unit(node.text, self.kinds))
        text = text_of(node, at, ctx, expected)
        if text is BAD:
            return BAD
        try:
            return quantity.parse_any(self.kinds, text)
        except Refused as refused:
            return ctx.bad(node, at, refused.expected, refused.mend, kind=refused.kind)

    def schema(self, defs: Json) -> Json:
        """A reference to a shared pattern."""
        name = " or ".join(self.kinds)
        if name not in defs:
            defs[name] = {
                "type": "string",
                "description": " or ".join(
                    f"{quantity.NAMES[k]}: {quantity.EXAMPLES[k]}" for k in self.kinds
                ),
                "examples": [
                    e for k in self.kinds for e in quantity.EXAMPLES[k].split(" (")[0].split(" or ")
                ],
                "pattern": quantity.pattern(*self.kinds),
            }
        return {"$ref": f"#/$defs/{escape(name).replace(' ', '%20')}"}


LONG = 200
"""Letters of a text beyond which nobody asks what was meant by it."""


class Form(Kind):
    """A text of a fixed form: a pattern, and what makes a value of its match.

    The pattern is built when first needed; ``quick`` may read the commonest texts without it, and
    gives ``None`` for all others.
    """

    def __init__(
        self, name: str, regex: Callable[[], str], make: Callable[[re.Match[str]], Any],
        example: str, expected: str, mend: Callable[[str], str] | None = None,
        quick: Callable[[str], Any] | None = None,
    ) -> None:  # fmt: skip
        self.name, self._regex, self.make = name, regex, make
        self.example, self.expected, self.mend = example, expected, mend
        self.quick = quick
        self._compiled: re.Pattern[str] | None = None

    @property
    def regex(self) -> str:
        """The whole pattern."""
        return self._regex()

    @property
    def compiled(self) -> re.Pattern[str]:
        """The pattern, compiled when first needed."""
        if self._compiled is None:
            self._compiled = re.compile(self.regex)
        return self._compiled

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """What ``make`` gives for the match."""
        if node.kind == "number":
            return ctx.bad(node, at, self.expected, self.bare(node.text))
        text = text_of(node, at, ctx, self.expected)
        if text is BAD:
            return BAD
        try:
            return self.value(blanked(text))
        except Refused as refused:
            return ctx.bad(node, at, refused.expected, refused.mend, kind=refused.kind)

    def value(self, text: str) -> Any:
        """What a text with plain blanks says. Refused, with what would mend it."""
        if self.quick is not None:
            value = self.quick(text)
            if value is not None:
                return value
        compiled = self.compiled
        match = whole = compiled.match(text)
        if not match:
            tidy = " ".join(text[:200].split())
            match = compiled.match(tidy) if tidy != text else None
            if match is None or self.takes(tidy):
                raise Refused(self.expected, self.hint(text, compiled))
        try:
            return self.make(match)
        except Refused as refused:
            mend = sound(refused.mend, self.takes, "check the figures")
            kind = refused.kind if whole else "shape"
            raise Refused(refused.expected, mend, kind) from None

    def takes(self, text: str) -> bool:
        """Whether this text is of this form, and all in it within bounds."""
        match = self.compiled.match(blanked(text))
        try:
            return match is not None and self.make(match) is not BAD
        except Refused:
            return False

    def bare(self, text: str) -> str:
        """What would mend a number without quotes: the text that it may be, or an example."""
        try:
            self.value(text)
        except Refused as refused:
            mend = str(refused.mend)
        else:
            mend = f"write {text}"
        return f"{mend}, in double quotes"

    def hint(self, text: str, compiled: re.Pattern[str]) -> str:
        """What would mend this text: blanks, what this form knows, small letters, an example."""
        tidy = " ".join(text[:200].split())
        if tidy != text and compiled.match(tidy):
            return offer(f"write {tidy}{NO_OTHER}", tidy)
        from felt_engine.reading.tidy import fractions_apart

        apart = fractions_apart(tidy)
        if apart != tidy:
            if self.takes(apart):
                return offer(f"write a blank before each fraction: {apart}", apart)
            text = tidy = apart
        mend = self.mend(text) if self.mend and len(text) <= LONG else ""
        if not mend and compiled.match(tidy.lower()):
            mend = offer(f"write {tidy.lower()}, in small letters", tidy.lower())
        example = f"write it like this: {self.example}"
        return sound(mend, self.takes, example) or example

    def schema(self, defs: Json) -> Json:
        """A reference to a shared pattern."""
        if self.name not in defs:
            defs[self.name] = {
                "type": "string",
                "description": self.expected,
                "examples": [self.example],
                "pattern": widened(self.regex),
            }
        return {"$ref": f"#/$defs/{escape(self.name).replace(' ', '%20')}"}
