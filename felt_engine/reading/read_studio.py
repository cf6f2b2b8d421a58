"""Text to Studio: first its head, which says what has to be loaded, then the rest against that."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import chain, islice
from typing import Any

import attrs

from felt_engine.errors import PluginMissing, Problem, StudioError
from felt_engine.model.catalogue import Catalogue, FibreEntry, UseEntry
from felt_engine.model.place import join
from felt_engine.model.recipe import Source
from felt_engine.model.studio import (
    KnownFormer,
    KnownLimit,
    KnownRule,
    RuleSetting,
    Studio,
    release,
)
from felt_engine.plain_text import looks
from felt_engine.reading import bounds
from felt_engine.reading.groups import Field
from felt_engine.reading.names import Slip
from felt_engine.reading.read import in_one_sign, in_order, located, tree_of
from felt_engine.reading.setting import written
from felt_engine.reading.shape import BAD, Context, Enough
from felt_engine.reading.source import check_characters
from felt_engine.reading.studio_shape import FILES, LEVELS, NEEDED, studio_record
from felt_engine.reading.tree import Node, Unreadable

Plain = dict[str, Any]


class Opened:
    """A studio file of which only the head is read: plugins that it needs, and rule files."""

    def __init__(self, source: Source, tree: Node) -> None:
        self.source, self.tree = source, tree
        self.needed: tuple[str, ...] = self._head(NEEDED)
        self.rule_files: tuple[str, ...] = self._head(FILES)

    def _head(self, field: Field) -> tuple[str, ...]:
        """A list of the head, or nothing where it can't be read; what is wrong is told later."""
        pairs = self.tree.pairs if self.tree.kind == "map" else []
        node = next((value for key, value in pairs if key.text == field.key), None)
        read = BAD if node is None else field.kind.read(node, "", Context("", self.source.door))
        return () if read is BAD else tuple(read)

    def refuse(self, slips: Iterable[Slip], kind: str) -> None:
        """Raise an error if there are slips: PluginMissing for kind ``plugin``, else StudioError."""
        problems = [attrs.evolve(located(self.tree, slip), kind=kind) for slip in slips]
        if problems:
            raise (PluginMissing if kind == "plugin" else StudioError)(
                self.source.name, in_order(problems, self.tree, "a studio file")
            )


def open_studio(source: Source) -> Opened:
    """The tree and the head of a studio file. StudioError if it is no tree."""
    try:
        check_characters(source.text)
        return Opened(source, tree_of(source))
    except Unreadable as error:
        raise StudioError(source.name, tuple(map(of_studio, error.problems))) from None


def of_studio(problem: Problem) -> Problem:
    """The same problem, in the words of a studio file."""
    expected = problem.expected.replace("a recipe with piece, lots and layers", "a studio file")
    return attrs.evolve(
        problem,
        found=problem.found.replace("recipe", "studio file"),
        expected=expected.replace("recipe", "studio file"),
    )


def read_studio(
    opened: Opened, rules: Iterable[KnownRule], catalogue: Catalogue, engine: str,
    causes: Mapping[str, str] | None = None, packages: Iterable[str] = (),
    former: Iterable[KnownFormer] = (),
) -> Studio:  # fmt: skip
    """The whole file against what is loaded. StudioError (PluginMissing) with every problem."""
    source, rules = opened.source, tuple(rules)
    context = Context(source.text, source.door, _with_own(catalogue.names, opened.tree))
    record = studio_record(rules, causes, former)
    try:
        said: Plain = record.read(opened.tree, "", context)
    except Enough:
        said = BAD
    problems = context.problems
    if said is not BAD:
        slips = chain(_links(said, catalogue, engine, set(packages)), _out_of_order(said, rules))
        sought = islice(slips, bounds.PROBLEMS_SOUGHT)
        problems.extend(located(opened.tree, slip) for slip in sought)
    problems = in_one_sign(problems, opened.tree, source.text, record)
    if problems:
        plugin = any(problem.kind == "plugin" for problem in problems)
        raise (PluginMissing if plugin else StudioError)(
            source.name, in_order(problems, opened.tree, "a studio file")
        )
    said["rules"], said["notes"] = _living(said.get("rules", ()), former)
    said["fibres"] = tuple(_fibres(said, catalogue, source.name))
    said["uses"] = tuple(_uses(said, catalogue, source.name))
    return Studio(**said, source=source)


def _with_own(names: Mapping[str, Mapping[str, str]], tree: Node) -> dict[str, Mapping[str, str]]:
    """Names of the tables, and those of the file's own fibres and uses, which others may be like."""
    found = dict(names)
    for table, key in (("fibre", "fibres"), ("use", "uses")):
        node = (
            next((v for k, v in tree.pairs if k.text == key), None) if tree.kind == "map" else None
        )
        if node is not None and node.kind == "map":
            own = {name.text: name.text for name, _ in node.pairs}
            found[table] = {**own, **names.get(table, {})}
    return found


def _living(
    settings: tuple[RuleSetting, ...], former: Iterable[KnownFormer]
) -> tuple[tuple[RuleSetting, ...], tuple[str, ...]]:
    """The settings of rules that there are, and what became of those called by a name of old."""
    were = {one.id: one for one in former}
    notes = []
    for one in settings:
        if one.written is not None:
            was = were[one.written]
            ends = (
                "What is set for it does nothing."
                if was.now is None
                else "What is set for it holds."
            )
            notes.append(f"{was.told} {ends}")
    living = (one for one in settings if one.rule)
    return tuple(sorted(living, key=lambda one: one.rule)), tuple(notes)


_NO_REASON = (
    r"(?i)true|false|yes|no|on|off|y|n|x|null|nil|~|[-+0-9.?!/]+|n/?a|never|none|not"
    r"|not at all|nothing|todo|tbd"
)


def _twice(settings: tuple[RuleSetting, ...]) -> Iterator[Slip]:
    """A rule that is set under its name and under one of old."""
    names = {one.rule: one.written or one.rule for one in settings if not one.written}
    for one in settings:
        if one.written and one.rule:
            first = names.setdefault(one.rule, one.written)
            if first != one.written:
                yield (
                    join("rules", one.written), f'"{one.written}", which is {one.rule} by a name of old',
                    f"one entry for that rule; there is {first} too",
                    f"put what it says under {one.rule}, and take it out",
                )  # fmt: skip


def _links(said: Plain, catalogue: Catalogue, engine: str, packages: set[str]) -> Iterator[Slip]:
    yield from _twice(said.get("rules", ()))
    for one in said.get("rules", ()):
        if one.switched_off is not None and re.fullmatch(_NO_REASON, one.switched_off.strip()):
            yield (
                join("rules", one.written or one.rule, "switched off"), f'"{one.switched_off}"',
                "the reason, in words", "say why; or take the line out, and the rule runs",
            )  # fmt: skip
        if one.loudest and one.quietest and _quieter(one.loudest, one.quietest):
            yield (
                join("rules", one.written or one.rule, "quietest"),
                f'"{one.quietest}", which is louder than {one.loudest}',
                f"at most {one.loudest}", "swap them, or keep one",
            )  # fmt: skip
    ours = release(engine)
    asked = release(said.get("as_of", ""))
    if ours is not None and asked is not None and asked > ours:
        yield (
            "/as of", f"{said['as_of']}, which is newer than this engine",
            f"a release up to {engine}", f"write {engine}, or renew the engine",
        )  # fmt: skip
    yield from _packages(said, packages)
    yield from _entries("fibres", said.get("fibres", ()), catalogue.fibres, _FIBRE_NEEDS)
    yield from _entries("uses", said.get("uses", ()), catalogue.uses, _USE_NEEDS)
    yield from _bare(said, catalogue)


def _out_of_order(said: Plain, rules: tuple[KnownRule, ...]) -> Iterator[Slip]:
    """A limit for a fault that would be reached before the one for a caution."""
    known = {rule.id: {limit.name: limit for limit in rule.limits} for rule in rules}
    for one in said.get("rules", ()):
        given = {each.name: each.value for each in one.limits}
        for mild, grave in _degrees(known.get(one.rule, {})):
            first = given.get(mild.name, mild.default)
            last = given.get(grave.name, grave.default)
            if (grave.default - mild.default) * (last - first) < 0:
                name = grave.name if grave.name in given else mild.name
                yield (
                    join("rules", one.written or one.rule, "limits", name),
                    f"{mild.name} {written(first, mild.unit)} and {grave.name} "
                    f"{written(last, grave.unit)}, so that the fault comes before the caution",
                    f"their order as it comes: {mild.name} {written(mild.default, mild.unit)}, "
                    f"{grave.name} {written(grave.default, grave.unit)}",
                    "check both figures",
                )  # fmt: skip


def _degrees(limits: Mapping[str, KnownLimit]) -> Iterator[tuple[KnownLimit, KnownLimit]]:
    """Pairs of limits of one figure, for a caution and for a fault, told by their names."""
    for name, mild in limits.items():
        grave = limits.get(name.replace("caution", "fault"))
        if grave is not None and grave is not mild and grave.unit == mild.unit:
            yield mild, grave


def _quieter(one: str, other: str) -> bool:
    return LEVELS.index(one) < LEVELS.index(other)


def _packages(said: Plain, packages: set[str]) -> Iterator[Slip]:
    from felt_engine.suggest import did_you_mean

    for name, _ in said.get("plugins_as_of", ()):
        if name not in packages:
            known = ", ".join(sorted(packages)) or "none"
            mend = did_you_mean(name, packages, "take it out, or write as of for the engine's own")
            found = f'the package "{name}", which has no plugin here'
            yield join("plugins as of", name), found, f"a package with rules: {known}", mend


_FIBRE_NEEDS = {"group": "group", "felts": "felts", "diameter": "fineness", "density": "density"}
_USE_NEEDS = {"weight": "weight"}


def _entries(key: str, entries: Any, table: Any, needs: Mapping[str, str]) -> Iterator[Slip]:
    """Names that clash with others, and new entries that say too little."""
    own = {name for name, _ in entries}
    parents = _parents(entries, table)
    seen = {looks(one).casefold(): one for one in table.names} if entries else {}
    spelt: dict[str, str] = {}
    told: set[str] = set()
    for name, values in entries:
        at = join(key, name)
        known = table.names.get(name)
        if known is not None and known != name:
            yield (
                at, f'"{name}", which is another name for {known}', "a name of its own",
                f"write {known} to correct that one, or choose another name",
            )  # fmt: skip
        elif known is None and looks(name).casefold() in seen:
            twin = seen[looks(name).casefold()]
            yield (
                at, f'"{name}", which looks like {twin}', "a name that can be told from all others",
                f"write {table.names[twin]} to correct that one, or choose another name",
            )  # fmt: skip
        elif known is None and "like" not in values:
            lacking = [word for attr, word in needs.items() if attr not in values]
            if lacking:
                yield (
                    at, f'"{name}", which the table lacks, without {" and ".join(lacking)}',
                    f"like, or {', '.join(needs.values())}",
                    "say which one of the table it is like",
                )  # fmt: skip
        circle = _line(name, parents)
        if name in circle and told.isdisjoint(circle):
            told.update(circle)
            yield (
                at + join("like"), f'"{values["like"]}", which is like {name} itself'
                if values["like"] != name else f'"{name}", the entry itself',
                "one that does not lead back to it", "say which one of the table it is like",
            )  # fmt: skip
        for index, other in enumerate(values.get("also", ())):
            owner = spelt.setdefault(other, name)
            taken = table.names.get(other, owner)
            if taken != name or owner != name or (other in own and other != name):
                whose = taken if taken != name else owner if owner != name else other
                yield (
                    at + join("also", index), f'"{other}", which names {whose}',
                    "a name that nothing else has", "take it out, or choose another",
                )  # fmt: skip


def _bare(said: Plain, catalogue: Catalogue) -> Iterator[Slip]:
    for (name, values), entry in zip(said.get("uses", ()), _uses(said, catalogue, ""), strict=True):
        if entry.bare_caution > entry.bare_fault and {"bare_caution", "bare_fault"} & set(values):
            key = "bare fault" if "bare_fault" in values else "bare caution"
            yield (
                join("uses", name, key),
                f"a bare fault of {entry.bare_fault:g} below a bare caution of "
                f"{entry.bare_caution:g}",
                "a fault from a higher bare index than a caution", "set both",
            )  # fmt: skip


def _parents(entries: Any, table: Any) -> dict[str, str | None]:
    """By each entry that is like another one of the file, that one; the table's own need no other."""
    likes = {name: values.get("like") for name, values in entries}
    return {name: None if like in table else like for name, like in likes.items()}


def _line(name: str, parents: Mapping[str, str | None]) -> list[str]:
    """The file's own entries that one is like, the nearest first; it is the last itself in a circle."""
    line: list[str] = []
    at = parents.get(name)
    while at is not None and at in parents and at not in line:
        line.append(at)
        at = parents[at]
    return line


def _grown(
    entries: Any, table: Any, blank: Any, own: Callable[[Any, str, Plain], Any]
) -> Iterator[Any]:
    """The entries in file order, each made from what it starts from.

    That is the one that it is like (of the table; else of the file), the table's own, or ``blank``.
    """
    given = dict(entries)
    parents = _parents(entries, table)
    made: dict[str, Any] = {}
    for name in given:
        for one in (*reversed(_line(name, parents)), name):
            if one not in made:
                values = dict(given[one])
                like = values.pop("like", None) or one
                made[one] = own(table.get(like) or made.get(like, blank), one, values)
        yield made[name]


_NO_FIBRE = FibreEntry("", "wool", None, 0.0, None)  # type: ignore[arg-type]


def _fibres(said: Plain, catalogue: Catalogue, file: str) -> Iterator[FibreEntry]:
    def own(parent: FibreEntry, name: str, values: Plain) -> Any:
        traits = values.pop("traits", None)
        if traits is not None:
            values.update(film="film" in traits, luster="luster" in traits,
                          heat_bondable="heat bondable" in traits)  # fmt: skip
        if "legal" in values:
            values["legal"] = tuple(sorted({**dict(parent.legal), **dict(values["legal"])}.items()))
        also = catalogue.fibres[name].also if name in catalogue.fibres else ()
        return _own(parent, name, values, also, file)

    yield from _grown(said.get("fibres", ()), catalogue.fibres, _NO_FIBRE, own)


def _uses(said: Plain, catalogue: Catalogue, file: str) -> Iterator[UseEntry]:
    def own(parent: UseEntry, name: str, values: Plain) -> Any:
        if "weight" in values:
            values["low"], values["high"] = values.pop("weight")
        allows = values.pop("allows", None)
        if allows is not None:
            values.update(open="holes" in allows, one_way="one way" in allows)
        also = catalogue.uses[name].also if name in catalogue.uses else ()
        return _own(parent, name, values, also, file)

    yield from _grown(said.get("uses", ()), catalogue.uses, UseEntry("", 0.0, 0.0), own)


_SOURCED = {
    "felts": "felts", "density": "density", "diameter": "diameter", "luster": "luster",
    "heat_bondable": "heat_bondable", "low": "band", "bare_caution": "bare", "bare_fault": "bare",
}  # fmt: skip


def _own(parent: Any, name: str, values: Plain, own: tuple[str, ...], file: str) -> Any:
    """The entry, with the studio file as the source of each figure that it gives."""
    also = tuple(dict.fromkeys((*own, *values.pop("also", ()))))
    said = dict.fromkeys(key for attr, key in _SOURCED.items() if attr in values)
    kept = tuple(source for source in parent.sources if source[0] not in said)
    sources = kept + tuple((key, file, "the studio's own") for key in said)
    if parent.name != name:
        values.setdefault("note", "")
    return attrs.evolve(parent, name=name, also=also, sources=sources, **values)
