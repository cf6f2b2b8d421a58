"""The studio file's format, key by key, with a place for each limit of each loaded rule."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from felt_engine.model.studio import KnownFormer, KnownRule, RuleSetting
from felt_engine.reading import bounds, words
from felt_engine.reading.forms import PRICE
from felt_engine.reading.groups import Field, ListOf, MapOf, Record
from felt_engine.reading.recipe_shape import LINE, NAME, NOTE, PROSE, WEIGHT
from felt_engine.reading.setting import Figure, Setting
from felt_engine.reading.shape import Context, Count, Entry, Json, Kind, Word, describe
from felt_engine.reading.studio_forms import BAND, DENSITY, DIAMETER, FELTS, RELEASE
from felt_engine.reading.tree import Node

LEVELS = ("note", "caution", "fault")
"""From quiet to loud."""
GROUPS = (
    "wool", "hair", "silk", "cellulosic", "protein", "synthetic", "film", "bast", "cotton", "metal",
)  # fmt: skip
LEVEL = Word("a level", *LEVELS)
ALSO = ListOf(NAME, bounds.NOTES, 1, "names")

FIBRE = Record(
    "fibre",
    "One fibre of the house. Under a name of the table it corrects just what it says; under a new "
    "name it needs like, or group, felts, fineness and density.",
    dict,
    (
        Field(
            "like", Entry("fibre", "take the nearest of the engine's own table, or one of this file"),
            "A fibre, of the table or of this file, that it is like in all that isn't said here.", "merino",
        ),
        Field("group", Word("a group", *GROUPS), "What it is made of.", "wool"),
        Field("felts", FELTS, "How well it felts: 0 not at all, 1 as merino.", "0.5 to 0.9"),
        Field(
            "fineness", DIAMETER, "Fibre diameter; for film its thickness.", "17 to 23 um",
            attr="diameter",
        ),
        Field("density", DENSITY, "Density of the fibre itself.", "1310 kg/m³"),
        Field(
            "traits", ListOf(Word("a trait", "luster", "film", "heat bondable"), 3, 0, "traits"),
            "Sold for its shine; flat film; can be fixed by pressing at a heat that wool stands.",
            ["luster"],
        ),
        Field(
            "legal names", MapOf(LINE, 30, 1, "countries"),
            "The name that a label has to use, by country: eu, us.", {"eu": "wool"}, attr="legal",
        ),
        Field("also", ALSO, "Other names that a recipe may use for it.", ["saltmarsh wool"]),
        NOTE,
    ),
)  # fmt: skip

USE = Record(
    "use",
    "One use of the house. Under a name of the table it corrects just what it says; under a new "
    "name it needs like, or weight.",
    dict,
    (
        Field(
            "like", Entry("use", "take the nearest of the engine's own table, or one of this file"),
            "A use, of the table or of this file, that it is like in all that isn't said here.", "cushion",
        ),
        Field("weight", BAND, "Usual weight of the whole stack as laid out.", "200 to 400 g/m²"),
        Field(
            "allows", ListOf(Word("what is right", "holes", "one way"), 2, 0, "words"),
            "Holes are meant; fibre along it alone is right.", ["holes"],
        ),
        Field(
            "bare caution", Figure(high=1.0, example="0.03"),
            "Bare index from which thin patches may show.", "0.03",
        ),
        Field(
            "bare fault", Figure(high=1.0, example="0.08"),
            "Bare index from which holes are likely.", "0.08",
        ),
        Field("also", ALSO, "Other names that a recipe may use for it.", ["oar sleeve"]),
        NOTE,
    ),
)  # fmt: skip

NEEDED = Field(
    "needed plugins", ListOf(NAME, bounds.NOTES, 0, "plugins"),
    "Packages that must be there: without one of them nothing is judged.", ["tide-rules"],
)  # fmt: skip
FILES = Field(
    "rule files", ListOf(LINE, bounds.NOTES, 0, "files"),
    "Python files with hooks, counted from this file. Only in a studio file that was named with "
    "--studio: a file that was just found loads no code.", ["house_rules.py"],
)  # fmt: skip


class Known(Record):
    """A group whose keys are names of loaded things. ``what`` is what they are, and of what.

    ``causes`` says why some aren't there.
    """

    def __init__(
        self, name: str, about: str, make: Any, fields: Iterable[Field], what: tuple[str, str],
        causes: Mapping[str, str] | None = None,
    ) -> None:  # fmt: skip
        super().__init__(name, about, make, tuple(fields))
        self.what, self.causes = what, causes or {}

    def unknown(self, key: Node, there: Collection[str], at: str, ctx: Context) -> str:
        """Note a name that nothing loaded has: the nearest one, or why it may be missing."""
        from felt_engine.suggest import did_you_mean, nearest

        name = key.text
        one, of = self.what
        place = f"{at}/{name.replace('~', '~0').replace('/', '~1')}"
        found = f"the {one} {describe(key)}{of}, which is not known"
        cause = self.causes.get(name)
        if cause is None and self.causes and nearest(name, self.fields) is None:
            cause = "; ".join(f"{thing}: {why}" for thing, why in sorted(self.causes.items()))
        if cause is not None:
            expected = f"a {one} that could be loaded"
            ctx.bad(key, place, expected, f"mend the plugin first: {cause}", found, kind="plugin")
            return ""
        mend = did_you_mean(name, self.free(key, there), "take one of these, or leave it out")
        names = sorted(self.fields) or ["none is there"]
        ctx.bad(key, place, ctx.listing(f"a {one}{of}", names, key), mend, found)
        return ""


def _limits(rule: KnownRule) -> Field:
    fields = [
        Field(
            limit.name, setting := Setting(limit),
            f"{limit.about[:1].upper()}{limit.about[1:]}. As it comes: {setting.example}.",
            setting.example,
        )
        for limit in rule.limits
    ]  # fmt: skip
    known = Known(
        f"limits of {rule.id}", "Limits by name, each with its unit.", _values, fields,
        ("limit", f" of {rule.id}"),
    )  # fmt: skip
    return Field("limits", known, "Limits that this studio sets.")


def _values(**values: Any) -> tuple[Any, ...]:
    return tuple(values[name] for name in sorted(values))


class Rules(Known):
    """Settings by rule. A name of old is read as what the rule is called now."""

    def __init__(
        self, rules: Iterable[KnownRule], causes: Mapping[str, str] | None,
        former: Iterable[KnownFormer],
    ) -> None:  # fmt: skip
        known = {rule.id: rule for rule in rules}
        super().__init__(
            "rules", "What the studio says of rules, by the rule's name.", _values,
            [_rule(rule) for rule in known.values()], ("rule", ""), causes,
        )  # fmt: skip
        self.former: dict[str, Field] = {}
        for one in former:
            rule = known.get(one.now or "")
            kind = Gone(one.id) if rule is None else _rule(rule, one.id).kind
            self.former[one.id] = Field(one.id, kind, one.told)

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """The settings, also those under a name of old."""
        if not self.former or node.kind != "map":
            return super().read(node, at, ctx)
        plain = self.fields
        used = {key.text for key, _ in node.pairs}
        self.fields = {**plain, **{k: v for k, v in self.former.items() if k in used}}
        try:
            return super().read(node, at, ctx)
        finally:
            self.fields = plain


class Gone(Kind):
    """What is set for a rule that is no more: read over."""

    def __init__(self, name: str) -> None:
        self.name = name

    def read(self, node: Node, at: str, ctx: Context) -> Any:
        """A setting of no rule."""
        return RuleSetting("", written=self.name)


def _rule(rule: KnownRule, written: str | None = None) -> Field:
    def make(**values: Any) -> RuleSetting:
        return RuleSetting(rule.id, written=written, **values)

    record = Record(
        f"setting of {rule.id}",
        rule.title or "What the studio says of this rule.",
        make,
        (
            Field(
                "switched off", PROSE, "The rule doesn't run, for this reason.",
                "our pieces are looked at by hand for this",
            ),
            Field("loudest", LEVEL, "Highest level that its findings may have.", "caution"),
            Field("quietest", LEVEL, "Lowest level that its findings may have.", "caution"),
            _limits(rule),
        ),
    )  # fmt: skip
    return Field(rule.id, record, f"{rule.title or rule.id}.")


def studio_record(
    rules: Iterable[KnownRule], causes: Mapping[str, str] | None = None,
    former: Iterable[KnownFormer] = (),
) -> Record:  # fmt: skip
    """The format for these rules, read into a dict.

    ``causes`` says of what broke down why, ``former`` of names of old what became of them.
    """
    known = Rules(rules, causes, former)
    return Record(
        "studio",
        "A studio's own numbers. All but the name may be left out; what is left out is as it comes.",
        dict,
        (
            Field("format", Count(1, 1), "Version of this format.", 1),
            Field("name", LINE, "What the studio is called.", "Saltgrass Felt", needed=True),
            Field("rules", known, "Which rules run, how loud, and their limits."),
            Field(
                "as of", RELEASE,
                "The engine's rules that are newer than this release don't run.", "0.1.0",
            ),
            Field(
                "plugins as of", MapOf(RELEASE, bounds.NOTES, 0, "packages"),
                "The same for packages of plugins, by name: releases of their own.",
                {"tide-rules": "2.1"},
            ),
            NEEDED,
            FILES,
            Field(
                "scale step", WEIGHT, "Smallest step of the scale, where a recipe says none.", "1 g"
            ),
            Field(
                "readers", ListOf(Word("a reader", *words.READERS), 4, 0, "readers"),
                "Who sheets are for, where a recipe doesn't say.", ["pattern for sale"],
            ),
            Field("fibres", MapOf(FIBRE, bounds.LOTS, 0, "fibres"), "Fibres of the house."),
            Field("uses", MapOf(USE, bounds.LOTS, 0, "uses"), "Uses of the house."),
            Field(
                "prices", MapOf(PRICE, bounds.LOTS, 0, "prices"),
                "Prices by weight, by the name of a lot or a fibre.",
                {"merino": "4.80 EUR per 100 g"},
            ),
            Field(
                "stock", MapOf(WEIGHT, bounds.LOTS, 0, "weights"),
                "What is there, by the name of a lot or a fibre.", {"merino": "2 kg"},
            ),
            Field(
                "notebook", LINE, "The notebook of swatches, counted from this file.",
                "swatches.yaml",
            ),
            NOTE,
        ),
    )  # fmt: skip


def studio_schema(rules: Iterable[KnownRule]) -> Json:
    """The JSON Schema (draft 2020-12) of the studio file for these rules."""
    defs: Json = {}
    studio_record(rules).schema(defs)
    top = defs.pop("studio")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:felt-engine:studio:1",
        "title": "A studio's own numbers",
        **top,
        "$defs": dict(sorted(defs.items())),
    }
