"""What holds other values: lists, things by name, and groups of known keys (:mod:`.shape` has the rest)."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from typing import Any

import attrs

from felt_engine.model.place import escape
from felt_engine.reading.alike import doubled, misnamed
from felt_engine.reading.names import ALL_OVER
from felt_engine.reading.shape import BAD, Context, Json, Kind, describe
from felt_engine.reading.tree import Node
from felt_engine.reading.yaml_tree import is_nothing

_COLON = re.compile(r"\s*:")


class ListOf(Kind):
    """A list; ``least`` items or more."""

    def __init__(self, item: Kind, most: int, least: int = 0, what: str = "entries") -> None:
        self.item, self.most, self.least, self.what = item, most, least, what

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """A tuple of values."""
        if node.kind != "list":
            return ctx.bad(node, at, f"a list of {self.what}", self._as_list(node, at, ctx))
        if not self.least <= len(node.items) <= self.most:
            mend, found = "check the list", f"{len(node.items)}"
            if not node.items:
                needed = self.least > 1 or at == "/layers"
                mend, found = "put one in it, or leave the key out", "an empty list"
                mend = f"write {self.least} at least" if needed else mend
            return ctx.bad(node, at, f"{self.least} to {self.most} {self.what}", mend, found=found)
        read = self.item.read
        values = [read(item, f"{at}/{i}", ctx) for i, item in enumerate(node.items)]
        return BAD if any(v is BAD for v in values) else tuple(values)

    def _as_list(self, node: Node, at: str, ctx: Context) -> str:
        """What mends a text where a list is wanted: the same in brackets, if it can be read so."""
        otherwise = "start each with a dash and a space"
        odd = re.match(r"-([^\S \t\r\n])", ctx.text[node.start : node.start + 2])
        if odd is not None:
            return f"write a plain blank behind the dash, and not U+{ord(odd[1]):04X}"
        if node.kind == "map" and ctx.text[node.start : node.start + 1] == "{":
            bare = all(is_nothing(value) for _, value in node.pairs)
            return "write it in [ ] instead of { }" if bare else "put [ ] round it"
        if node.kind != "text" or is_nothing(node) or len(node.text) > 60:
            return otherwise
        text = node.text.strip()
        if at.endswith("/covers") and text.lower() in ALL_OVER:
            return "leave it out: a total without it is that of all layers"
        if ctx.door == "json" or not re.fullmatch(r"[^][{}#:&*!|>'\"%@`?-][^][{}#:\"]*", text):
            return otherwise if ctx.door != "json" else "put brackets round it"
        one = self._refused(text, node, at, ctx)
        free = self._refused("x", node, at, ctx) is None
        parts = re.split(rf"\s*(?:[,;+&{'' if free else '/'}]|\band\b)\s*", text)
        if not all(parts) or any(self._refused(part, node, at, ctx) for part in parts):
            parts = []
        whole = f"[{', '.join(parts)}]" if parts else ""
        known = rf"name: *[\"']?{re.escape(text)}\b|{re.escape(text)}[\"']? *:"
        if one is None and parts[1:] and re.search(known, ctx.text):  # a name with a comma in it
            said = f'["{text}"]' if re.search("[,+&]", text) else f"[{text}]"
            return f"write it as a list: {said} or {whole}, whichever you mean"
        if parts:
            return f"write it as a list: {whole}{', if that is meant' if free else ''}"
        return (
            f"{one}; and put brackets round it" if (one or "").startswith("write ") else otherwise
        )

    def _refused(self, text: str, node: Node, at: str, ctx: Context) -> str | None:
        """What mends this text as an entry; ``None`` if it can be read so."""
        alone = Context("", ctx.door, ctx.tables)
        entry = Node("text", text, node.start, node.end, node.line, node.column)
        read = self.item.read(entry, f"{at}/0", alone)
        return alone.problems[0].mend if read is BAD and alone.problems else None

    def schema(self, defs: Json) -> Json:
        """An array."""
        found: Json = {"type": "array", "items": self.item.schema(defs), "maxItems": self.most}
        if self.least:
            found["minItems"] = self.least
        return found


class MapOf(Kind):
    """Things by name. ``make`` turns name and value into an item of the tuple."""

    def __init__(
        self, item: Kind, most: int, least: int = 0, what: str = "names",
        make: Callable[[str, Any], Any] | None = None,
    ) -> None:  # fmt: skip
        self.item, self.most, self.least, self.what = item, most, least, what
        self.make = make or (lambda name, value: (name, value))

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """A tuple, in file order."""
        if node.kind != "map":
            return ctx.bad(
                node, at, f"{self.what}, each with a name and a colon", "give each a name"
            )
        if not self.least <= len(node.pairs) <= self.most:
            return ctx.bad(
                node, at, f"{self.least} to {self.most} {self.what}", "check the names",
                found=f"{len(node.pairs)}",
            )  # fmt: skip
        values: list[Any] = []
        seen: dict[str, Node] = {}
        last: tuple[Node, int, str] | None = None
        for key, value in node.pairs:
            name = key.text
            place = f"{at}/{escape(name)}"
            if _is_opened(key, value, ctx):
                ctx.nameless.add(f'"{_unopened(key, place, ctx)}"')
                values.append(BAD)
                continue
            tail = not isinstance(self.item, Record) and _is_tail(key, value, ctx)
            if tail and name[:1].isdigit() and last is not None and _is_whole(last[0]):
                _cut(self.item, *last, key, ctx)
                values.append(BAD)
                continue
            last = value, len(ctx.problems), place
            first, rest = _glued(key, value, (), ctx)
            if first:
                _unglue(first, rest, key, at, ctx)
                values.append(BAD)
                continue
            if tail and " " in name:
                mend = "write a colon between the name and its value"
                ctx.bad(key, place, f"{self.what}, each with a name and a colon", mend)
                ctx.nameless.add(place)
                values.append(BAD)
                continue
            if name == "<<" and not key.quoted:
                ctx.bad(key, place, "a name", "write it out; merge keys are not read", kind="text")
                values.append(BAD)
            if doubled(key, seen, place, ctx) or misnamed(key, place, ctx):
                values.append(BAD)
            read = self.item.read(value, place, ctx)
            values.append(BAD if read is BAD else self.make(name, read))
        return BAD if any(v is BAD for v in values) else tuple(values)

    def schema(self, defs: Json) -> Json:
        """An object with free names."""
        found: Json = {
            "type": "object",
            "additionalProperties": self.item.schema(defs),
            "propertyNames": {"pattern": r"^(?=\S)[^\n\r\t]*\S$(?![\n])", "maxLength": 80},
            "maxProperties": self.most,
        }
        if self.least:
            found["minProperties"] = self.least
        return found


class Field:
    """One key of a record: ``attr`` is its attribute in the model."""

    __slots__ = ("about", "attr", "example", "key", "kind", "needed", "step")

    def __init__(
        self, key: str, kind: Kind, about: str, example: Any = None, attr: str | None = None,
        needed: bool = False,
    ) -> None:  # fmt: skip
        self.key, self.kind, self.about, self.example = key, kind, about, example
        self.attr = attr or key.replace(" ", "_")
        self.step = "/" + escape(key)
        self.needed = needed


def _is_tail(key: Node, value: Node, ctx: Context) -> bool:
    """Whether a key is the second half of a value with a comma in it, as in ``{amount: 1,5 g}``.

    Such a key has no colon behind it.
    """
    if key.quoted or not is_nothing(value) or ctx.door != "yaml":
        return False
    return _COLON.match(ctx.text, key.end) is None


def _is_opened(key: Node, value: Node, ctx: Context) -> bool:
    """Whether a key has taken in a bracket, for want of a colon before it: ``tools {mat: 9 x 9 cm}``."""
    if key.quoted or value.kind != "text" or ctx.door != "yaml":
        return False
    return ("{" in key.text or "[" in key.text) and value.text[-1:] in ("}", "]")


def _unopened(key: Node, at: str, ctx: Context) -> str:
    """Note it, and give the name that is meant."""
    name, sign, _ = re.split(r"[^\S ]? ?[^\w ]?[^\S ]? ?([{\[])", key.text, maxsplit=1)
    odd = re.search(r"([^\S ]|[\u200b-\u200d\ufeff])[{\[]", key.text)
    mend = f"write a colon and a blank before the {sign}"
    if odd is not None:
        mend = f"write a colon and a plain blank before the {sign}, and not U+{ord(odd[1]):04X}"
    ctx.bad(key, at, "a colon and a blank, which end a key", mend, f'"{key.text[:60]}"', "text")
    return name


def _is_whole(value: Node) -> bool:
    """Whether a value may have been cut at a comma: one text or number."""
    return value.kind not in ("map", "list") and not is_nothing(value)


def _cut(kind: Kind, value: Node, before: int, at: str, tail: Node, ctx: Context) -> None:
    """Note a value that was cut in two by a comma, in place of what its first half gave."""
    del ctx.problems[before:]
    ctx.listed = {what: one for what, one in ctx.listed.items() if one[0] < before}
    whole = ctx.text[value.start : min(tail.end, value.start + LONG + 1)]
    alone = Context("", ctx.door, ctx.tables)
    entry = Node("text", whole, value.start, tail.end, value.line, value.column)
    read = None if value.quoted or len(whole) > LONG else kind.read(entry, at, alone)
    mend = "put the whole value in quotes"
    if read is BAD and alone.problems and not isinstance(kind, Record):
        mend = alone.problems[0].mend
        if re.search(r"\d,\d", mend):
            mend = f"put it in quotes, and {mend}"
    ctx.bad(
        value, at, "the value in one piece", f"inside {{ }} and [ ] a comma ends a value: {mend}",
        found=f'"{whole[:LONG]}", cut in two at its comma',
    )  # fmt: skip


def _glued(key: Node, value: Node, keys: Collection[str], ctx: Context) -> tuple[str, str]:
    """A key and its value that no blank parts, as in ``{use:scarf}``; two empty texts if it isn't one."""
    name, colon, rest = key.text.partition(":")
    if not (colon and name.strip() and rest.strip() and _is_tail(key, value, ctx)):
        return "", ""
    from felt_engine.reading.broken import resettled

    return resettled(name.strip(), rest.rstrip(), keys)


_SIGN = r" ?[^\w\s]"
"""What may have been typed for a colon."""

_SIGN_FOR_IT = re.compile(r" ?([-=]>|[^\w\s])(?= |$)|([^\w\s.,+~<>-])(?=\w)")
"""What was: with a blank behind it, or with none before it. Else it begins the value: ``.5 oz``."""


def _uncoloned(name: str, key: Node, at: str, may_be_tail: bool, ctx: Context) -> None:
    """Note a key and its value with no colon between, as in ``{use scarf}``."""
    quotes = ", or quotes round all of the value before it if this belongs to it"
    sign = _SIGN_FOR_IT.match(key.text[len(name) :])
    for_it = f"for the {sign[1] or sign[2]} " if sign else ""
    mend = f"write a colon {for_it}behind {name}{quotes if may_be_tail else ''}"
    ctx.bad(key, at, "a colon and a blank, which end a key", mend, f'"{key.text[:60]}"', "text")


def _unglue(name: str, rest: str, key: Node, at: str, ctx: Context) -> None:
    """Note it."""
    from felt_engine.reading.broken import BLANK_BEHIND, spaced

    ctx.bad(
        key, at, BLANK_BEHIND, spaced(key.text, name, rest), found=f'"{key.text[:60]}"', kind="text"
    )


LEFT_OUT = re.compile(r", or leave the (?:whole )?line out$")
"""The end of a hint that holds for what may be left out, and for nothing else."""


def _left_in(ctx: Context, told: int, at: str) -> None:
    """A key that has to be there is not to be left out: take that from what was told since."""
    for number in range(told, len(ctx.problems)):
        one = ctx.problems[number]
        if one.pointer == at:
            mend = LEFT_OUT.sub("", one.mend)
            ctx.problems[number] = attrs.evolve(one, mend=mend)


LONG = 60
"""Letters of a value up to which it is offered whole."""

KEYS: dict[str, bool] = {}
"""All keys that any kind of record has, and whether what follows is always a group or a list."""


class Record(Kind):
    """A group of known keys that makes one model value. ``make`` gets the attributes by name."""

    def __init__(
        self, name: str, about: str, make: Callable[..., Any], fields: Sequence[Field],
        need_one: tuple[tuple[str, ...], ...] = (), pairs: tuple[tuple[str, str], ...] = (),
        never: tuple[tuple[str, str], ...] = (),
    ) -> None:  # fmt: skip
        self.name, self.about, self.make = name, about, make
        self.fields = {field.key: field for field in fields}
        grouped = {field.key: isinstance(field.kind, (ListOf, MapOf, Record)) for field in fields}
        KEYS.update({key: KEYS.get(key, True) and only for key, only in grouped.items()})
        self.need_one, self.pairs, self.never = need_one, pairs, never
        self.elsewhere: tuple[Collection[str], str] = ((), "")
        """Keys that another record has and is often given here, and where they belong."""

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """What ``make`` gives, or BAD."""
        if node.kind != "map":
            keys = ", ".join(list(self.fields)[:5])
            return ctx.bad(node, at, f"a {self.name} with keys such as {keys}", self.of_text(node))
        before = len(ctx.problems)
        values: dict[str, Any] = {}
        seen: dict[str, Node] = {}
        fields = self.fields
        last: tuple[Field, Node, int] | None = None
        meant: set[str] = set()
        there: set[str] | None = None
        glued = False
        for key, value in node.pairs:
            if _is_opened(key, value, ctx):
                meant.add(_unopened(key, at, ctx))
                last = None
                continue
            name, rest = _glued(key, value, fields, ctx)
            if name in fields:
                _unglue(name, rest, key, at, ctx)
                meant.add(name)
                last, glued = None, True
                continue
            name = key.text
            if glued and name not in fields and _is_tail(key, value, ctx):
                continue  # what a comma cut off from the value that was glued to its key
            glued = False
            if name not in fields and _is_tail(key, value, ctx):
                bare = [f for f in fields if f not in seen and re.match(f"{f}(?: |{_SIGN})", name)]
                if bare:
                    _uncoloned(bare[-1], key, at, last is not None, ctx)
                    meant.add(bare[-1])
                    continue
                if last is not None and _is_whole(last[1]):
                    _cut(last[0].kind, *last[1:], at + last[0].step, key, ctx)
                    continue
            last = None
            if name in seen:
                doubled(key, seen, f"{at}/{escape(name)}", ctx)
                continue
            seen[name] = key
            field = fields.get(name)
            if field is None:
                if there is None:
                    there = {one.text for one, _ in node.pairs}
                meant.add(self.unknown(key, there, at, ctx))
            elif self.is_left_empty(field, value):
                self.empty(field, value, at, ctx)
            else:
                told = len(ctx.problems)
                last = field, value, told
                values[field.attr] = field.kind.read(value, at + field.step, ctx)
                if len(ctx.problems) > told and self.asks(field):
                    _left_in(ctx, told, at + field.step)
        self.missing(node, set(seen), meant, at, ctx)
        return BAD if len(ctx.problems) > before else self.make(**values)

    def of_text(self, node: Node) -> str:
        """How to mend what stands where such a record should."""
        name, _, rest = str(node.value).partition(":") if node.kind == "text" else ("", "", "")
        from felt_engine.reading.scalar import in_yaml
        from felt_engine.reading.tidy import hidden_in

        if (
            name.strip() in self.fields
            and rest.strip()
            and len(rest) <= LONG
            and not hidden_in(rest)
        ):
            return f"write {{{name.strip()}: {in_yaml(rest.strip())}}}, if that is meant"
        return "give it its keys"

    def is_left_empty(self, field: Field, value: Node) -> bool:
        """Whether one text that has to be there is not."""
        if value.kind in ("map", "list") or isinstance(field.kind, (ListOf, MapOf, Record)):
            return False
        nothing = is_nothing(value) or (value.kind == "other" and value.text == "null")
        blank = value.kind == "text" and not str(value.value).strip()
        return (nothing or blank) and self.asks(field)

    def asks(self, field: Field) -> bool:
        """Whether it has to be there: needed by itself, or by another key where that is written."""
        # of a zone, what its shape asks for
        by_another = self.name == "zone" and field.key not in ("from", "note")
        return field.needed or by_another or any(field.key == keys[0] for keys in self.need_one)

    def empty(self, field: Field, value: Node, at: str, ctx: Context) -> None:
        """Note that."""
        from felt_engine.reading.broken import lost_comment

        if lost_comment(ctx.text, value):
            field.kind.read(value, at + field.step, ctx)
            return
        like = (
            f", for example {field.key}: {field.example}" if isinstance(field.example, str) else ""
        )
        ctx.bad(
            value, at + field.step, f"{field.key} ({field.about.split('.')[0].lower()})",
            f"write it{like}", found="nothing",
        )  # fmt: skip

    def unknown(self, key: Node, there: Collection[str], at: str, ctx: Context) -> str:
        """Note a key that no such record has, and give the nearest known one, if one is near.

        ``there`` are all keys that the record was given.
        """
        from felt_engine.suggest import did_you_mean, nearest

        close = ""
        if key.text == "<<":
            mend = "write the keys out; merge keys are not read"
        elif not key.text[:1].isascii() and key.text[:1].isspace():
            blank = ord(key.text[0])
            mend = f"indent it with plain blanks: what stands before it is U+{blank:04X}, another blank"
        elif key.text in self.elsewhere[0]:
            mend = self.elsewhere[1]
        else:
            free = self.free(key, there)
            mend = did_you_mean(key.text, free, "leave it out, or put it into a note")
            close = nearest(key.text, free) or ""
        expected = ctx.listing(f"a key that a {self.name} has", self.fields, key)
        ctx.bad(
            key, f"{at}/{escape(key.text)}", expected, mend, found=f"the key {describe(key)}"
        )  # fmt: skip
        return close

    def free(self, key: Node, there: Collection[str]) -> list[str]:
        """What an unknown key may have been meant as: not what is there, but what looks the same."""
        from felt_engine.plain_text import looks

        same = looks(key.text)
        return sorted(name for name in self.fields if name not in there or looks(name) == same)

    def missing(self, node: Node, seen: set[str], meant: set[str], at: str, ctx: Context) -> None:
        """Note keys that have to be there, that belong together, or that exclude each other.

        ``meant`` are keys that were hardly left out, but misspelt: that is noted already.
        """
        there = seen | meant
        for field in self.fields.values():
            if field.needed and field.key not in there:
                self.lacks(node, field.key, at, ctx)
        for choice in self.need_one:
            if not there.intersection(choice):
                self.lacks(node, choice[0], at, ctx)
        for first, second in self.pairs:
            if first in seen and second not in there:
                ctx.bad(
                    node, at, f"{second}, since there is {first}", f"add {second}",
                    found=f"a {self.name} without {second}",
                )  # fmt: skip
        for first, second in self.never:
            if first in seen and second in seen:
                ctx.bad(
                    node, at, f"either {first} or {second}", "keep one of them",
                    found=f"both {first} and {second}",
                )  # fmt: skip

    def lacks(self, node: Node, key: str, at: str, ctx: Context) -> None:
        """Note one key that has to be there."""
        field = self.fields[key]
        like = f", for example {key}: {field.example}" if isinstance(field.example, str) else ""
        ctx.bad(
            node, at, f"{key} ({field.about.split('.')[0].lower()})", f"add {key}{like}",
            found=f"a {self.name} without {key}",
        )  # fmt: skip

    def schema(self, defs: Json) -> Json:
        """A reference to an object schema with every key described."""
        if self.name not in defs:
            found: Json = {"type": "object", "description": self.about}
            defs[self.name] = found
            found["properties"] = {f.key: self._property(f, defs) for f in self.fields.values()}
            found["additionalProperties"] = False
            needed = [f.key for f in self.fields.values() if f.needed]
            if needed:
                found["required"] = needed
            self._branches(found)
        return {"$ref": f"#/$defs/{escape(self.name).replace(' ', '%20')}"}

    @staticmethod
    def _property(field: Field, defs: Json) -> Json:
        found = {"description": field.about, **field.kind.schema(defs)}
        if "$ref" in found:
            found = {"description": field.about, "$ref": found["$ref"]}
        if field.example is not None:
            found["examples"] = [field.example]
        return found

    def _branches(self, found: Json) -> None:
        rules: list[Json] = []
        for first, *others in self.need_one:
            absent = {"not": {"required": [others[0]]}}
            rules.append({"if": absent, "then": {"required": [first]}})
        for first, second in self.never:
            rules.append({"not": {"required": [first, second]}})
        if rules:
            found["allOf"] = rules
        if self.pairs:
            wanted: dict[str, list[str]] = {}
            for first, second in self.pairs:
                wanted.setdefault(first, []).append(second)
            found["dependentRequired"] = wanted
