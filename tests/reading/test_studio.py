"""The studio file as it is read: every slip at its place, and its schema says the same."""

from __future__ import annotations

import copy
import json
import math
import pickle
import random
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from kit import ROOT
from kit_mutate import WRONG, mutate, spoil
from kit_reading import kinds, record, values

from felt_engine import Engine, PluginMissing, Problem, Studio, StudioError
from felt_engine.model.recipe import Source
from felt_engine.model.studio import KnownLimit, KnownRule, release
from felt_engine.reading.json_tree import read_json
from felt_engine.reading.read import find
from felt_engine.reading.read_studio import open_studio, read_studio
from felt_engine.reading.setting import Figure, Setting, kind_of, written
from felt_engine.reading.shape import BAD, Context, Form, Kind
from felt_engine.reading.studio_shape import studio_record, studio_schema
from felt_engine.reading.tables import built_in
from felt_engine.reading.tree import Node
from felt_engine.studio import known_rules

jsonschema = pytest.importorskip("jsonschema")

RULES = (
    KnownRule("rim-height", "Rims", (
        KnownLimit("ratio", "", 0.45, "a share"), KnownLimit("reach", "m", 0.018, "how far"),
        KnownLimit("least", "kg/m²", 0.3), KnownLimit("most", "g/m²", 900.0),
        KnownLimit("load", "kg", 0.06), KnownLimit("fine", "um", 24.0),
        KnownLimit("bath", "°C", 60.0), KnownLimit("bath-k", "K", 333.15),
        KnownLimit("rest", "s", 600.0), KnownLimit("colour", "dE00", 2.0),
        KnownLimit("share", "%", 5.0),
    )),
    KnownRule("plain-rule", "A rule without limits"),
)  # fmt: skip
RECORD = studio_record(RULES)
VALIDATOR = jsonschema.Draft202012Validator(studio_schema(RULES))


def read(text: str, door: str = "yaml", causes: dict[str, str] | None = None) -> Studio:
    opened = open_studio(Source("studio.yaml", text, door))
    return read_studio(opened, RULES, built_in(), "0.3.1", causes, {"tide-rules"})


def problems(text: str, door: str = "yaml") -> tuple[Problem, ...]:
    try:
        read(text, door)
    except StudioError as error:
        assert error.problems
        return error.problems
    return ()


def limit(name: str, value: str) -> float:
    studio = read(f"name: A\nrules:\n  rim-height:\n    limits:\n      {name}: {value}\n")
    (setting,) = studio.rules[0].limits
    assert setting.name == name and setting.text in (value, value[1:-1])
    return setting.value


# limits -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "texts", "value"),
    [
        ("ratio", ["0.3", "30 %", "30%", "3/10", '"0,3"'], 0.3),
        ("reach", ["2.54 cm", "1 in", "25.4 mm", "0.0254 m", '1"'], 0.0254),
        ("reach", ["0.1 mm", "0.0001 m"], 0.0001),
        ("least", ["250 g/m²", "0.25 kg/m²", "250 gsm"], 0.25),
        ("most", ["250 g/m²", "0.25 kg/m²"], 250.0),
        ("load", ["80 g", "0.08 kg"], 0.08),
        ("fine", ["19 um", "19 micron"], 19.0),
        ("bath", ["40 °C", "104 °F"], 40.0),
        ("bath-k", ["40 °C", "104 °F"], 313.15),
        ("rest", ["10 min", "600 s"], 600.0),
        ("colour", ["2.5 dE00", "2.5dE00", "2 1/2 dE00"], 2.5),
        ("share", ["4 %", "4%"], 4.0),
    ],
)
def test_a_limit_is_kept_in_its_own_unit(name: str, texts: list[str], value: float) -> None:
    """Values by NIST SP 811, appendix B: 1 in = 0.0254 m exactly, 104 °F = 40 °C."""
    found = {limit(name, text) for text in texts}
    assert len(found) == 1 and found.pop() == pytest.approx(value, rel=1e-11)


@pytest.mark.parametrize(
    ("name", "text", "expected", "mend"),
    [
        ("ratio", "2 cm", "a number without a unit, such as 0.45", "like this: 0.45"),
        ("ratio", "lots", "a number without a unit", "write it like this: 0.45"),
        ("reach", "30 g", "a distance such as 4 cm", "g is the unit of a weight"),
        ("reach", "3", "a distance such as 4 cm", "say the unit"),
        ("reach", "3 cms", "as it comes, reach is 1.8 cm", "write 3 cm"),
        ("least", "300 g", "as it comes, least is 300 g/m²", "g is the unit of a weight"),
        ("load", "60 g/m²", "a weight such as 12 g", "g/m² is the unit of a weight per area"),
        ("bath", "40 min", "as it comes, bath is 60 °C", "unit of a time"),
        ("rest", "600", "a time such as 10 min", "say the unit"),
        ("colour", "2", "a number with the unit dE00, such as 2 dE00", "say the unit: 2 dE00"),
        ("colour", "2 cm", "as it comes, colour is 2 dE00", "like this: 2 dE00"),
        ("share", "4", "a number with the unit %", "say the unit: 4 %"),
    ],
)
def test_a_wrong_unit_is_answered_with_the_right_one(
    name: str, text: str, expected: str, mend: str
) -> None:
    (problem,) = problems(f"name: A\nrules:\n  rim-height:\n    limits:\n      {name}: {text}\n")
    assert expected in problem.expected and mend in problem.mend
    assert (problem.line, problem.column) == (5, 9 + len(name))
    assert problem.pointer == f"/rules/rim-height/limits/{name}"


@pytest.mark.parametrize(
    ("text", "door"),
    [
        ('{"ratio": -0.5}', "json"),
        ('{"ratio": 1e400}', "json"),
        ('{"reach": "200 m"}', "json"),
        ('{"ratio": 0}', "json"),
        ('{"reach": "0 cm"}', "json"),
        ('{"reach": "19 m"}', "json"),
        ('{"ratio": "0.0004"}', "json"),
        ('{"ratio": 451}', "json"),
    ],
)
def test_figures_out_of_any_range_are_refused(text: str, door: str) -> None:
    whole = f'{{"name": "A", "rules": {{"rim-height": {{"limits": {text}}}}}}}'
    (problem,) = problems(whole, door)
    assert problem.kind == "limit"


@pytest.mark.parametrize("rule", RULES[:1])
def test_the_default_of_every_limit_reads_back_as_itself(rule: KnownRule) -> None:
    for one in rule.limits:
        assert limit(one.name, written(one.default, one.unit)) == pytest.approx(one.default)


def test_every_limit_of_the_installed_rules_can_be_set_to_its_default() -> None:
    book = Engine().rule_book
    rules = {
        one.rule.id: {"limits": {n.name: written(n.default, n.unit) for n in one.rule.limits}}
        for one in book.rules
    }
    made = Engine(studio=yaml.safe_dump({"name": "As it comes", "rules": rules}) + "\n")
    for shelved in book.rules:
        for one in shelved.rule.limits:
            own = made.rule_book.limits[shelved.rule.id][one.name]
            assert own == pytest.approx(one.default, rel=1e-5), (shelved.rule.id, one.name)


def test_units_are_told_apart() -> None:
    assert [kind_of(unit)[0] for unit in ("m", "g/m²", "", "dE00", "K", "oz")] == [
        "position", "areal", "", "", "temperature", "weight",
    ]  # fmt: skip


# slips --------------------------------------------------------------------------------------------

SLIPS: dict[str, tuple[str, int, int, str, str, str]] = {
    "unknown rule": ("rules: {rim-hight: {loudest: note}}", 2, 9,
                     'the rule "rim-hight", which is not known', "a rule: plain-rule, rim-height",
                     'write "rim-height", if that is meant'),
    "unknown limit": ("rules:\n  rim-height:\n    limits: {rach: 2 cm}", 4, 14,
                      'the limit "rach" of rim-height, which is not known',
                      "a limit of rim-height: bath", 'write "reach", if that is meant'),
    "limit of a rule that has none": ("rules: {plain-rule: {limits: {a: 1}}}", 2, 31,
                                      'the limit "a" of plain-rule', "none is there",
                                      "leave it out"),
    "like itself": ("fibres: {dune: {like: dune}}", 2, 23, 'the entry itself',
                    "one that does not lead back to it", "say which one of the table"),
    "like each other": ("uses: {a: {like: b}, b: {like: c}, c: {like: b}}", 2, 32,
                        'which is like b itself', "one that does not lead back", "of the table"),
    "unknown key of a rule": ("rules: {plain-rule: {loud: note}}", 2, 22, 'the key "loud"',
                              "switched off, loudest, quietest, limits", 'write "loudest"'),
    "level": ("rules: {plain-rule: {loudest: error}}", 2, 31, '"error"',
              "a level: note, caution, fault", "take one of these"),
    "no reason": ("rules: {plain-rule: {switched off: false}}", 2, 36, "false", "the reason, in words",
                  "say why"),
    "a nought for a reason": ('rules: {plain-rule: {switched off: "0"}}', 2, 36, "0",
                              "the reason, in words", "say why"),
    "never for a reason": ("rules: {plain-rule: {switched off: Never}}", 2, 36, "Never",
                           "the reason, in words", "take the line out, and the rule runs"),
    "nothing said why": ("rules: {plain-rule: {switched off: }}", 2, 36, "nothing", "a text",
                         "leave the whole line out"),
    "levels crossed": ("rules: {plain-rule: {loudest: note, quietest: fault}}", 2, 47,
                       '"fault", which is louder than note', "at most note", "swap them"),
    "unknown key": ("scalestep: 1 g", 2, 1, 'the key "scalestep"', "scale step",
                    'write "scale step"'),
    "scale step": ("scale step: 1 cm", 2, 13, '"1 cm"', "a weight such as 12 g", "unit of"),
    "reader": ("readers: [public]", 2, 11, '"public"', "a reader: own notes", "take one"),
    "release": ("as of: v0.1.0", 2, 8, '"v0.1.0"', "a release, such as 0.1.0", "write 0.1.0"),
    "release to come": ("as of: 0.4", 2, 8, "0.4, which is newer than this engine",
                        "a release up to 0.3.1", "write 0.3.1, or renew the engine"),
    "package": ("plugins as of: {tide-rule: 1.0}", 2, 28, 'the package "tide-rule"',
                "a package with rules: tide-rules", 'write "tide-rules"'),
    "price": ("prices: {mist: 4 per 100 g}", 2, 16, '"4 per 100 g"', "three letters",
              "4.80 EUR per 100 g"),
    "stock": ("stock: {mist: 250}", 2, 15, '"250"', "a weight such as 12 g", "say the unit"),
    "format": ("format: 2", 2, 9, '"2"', "1", "write 1"),
    "fibre field": ("fibres: {dune: {fineness: 20 um, shade: red}}", 2, 34, 'the key "shade"',
                    "like, group, felts, fineness, density", "leave it out"),
    "fibre like nothing": ("fibres: {dune: {like: merno}}", 2, 23, 'the fibre "merno"',
                           "a fibre of the table", 'write "merino"'),
    "new fibre, too little said": ("fibres: {dune: {felts: 0.5}}", 2, 16,
                                   "without group and fineness and density", "like, or group",
                                   "say which one of the table it is like"),
    "felts more than merino": ("fibres: {merino: {felts: 3}}", 2, 26, '"3"',
                               "a figure from 0 to 1", "check the figures"),
    "felts the wrong way round": ("fibres: {merino: {felts: 0.9 to 0.5}}", 2, 26,
                                  '"0.9 to 0.5"', "the lower end first", "check the figures"),
    "usual outside": ("fibres: {merino: {felts: 0.1 to 0.5 usually 0.6}}", 2, 26, "usually 0.6",
                      "between 0.1 and 0.5", "check it"),
    "fineness without a unit": ("fibres: {merino: {fineness: 18 to 22}}", 2, 29, '"18 to 22"',
                                "fibre diameters", "write 18 to 22 um"),
    "density": ("fibres: {merino: {density: 1.31}}", 2, 28, '"1.31"', "1310 kg/m³",
                "write it like this: 1310 kg/m³"),
    "density of lead": ("fibres: {merino: {density: 1310 g/cm³}}", 2, 28, '"1310 g/cm³"',
                        "10 to 30000 kg/m³", "check the figure and its unit"),
    "other name for a fibre": ("fibres: {merino wool: {felts: 0.9}}", 2, 23,
                               "another name for merino", "a name of its own", "write merino"),
    "taken other name": ("fibres: {dune: {like: merino, also: [corriedale]}}", 2, 38,
                         '"corriedale", which names corriedale', "nothing else has", "take it out"),
    "one other name for two": (
        "fibres: {a: {like: merino, also: [sand]}, b: {like: merino, also: [sand]}}", 2, 68,
        '"sand", which names a', "nothing else has", "take it out"),
    "new use, too little said": ("uses: {oar grip: {allows: [holes]}}", 2, 18, "without weight",
                                 "like, or weight", "say which one"),
    "weight band": ("uses: {oar grip: {weight: 200-400 g/m²}}", 2, 27, '"200-400 g/m²"',
                    "two weights per area", "write 200 to 400 g/m², if that is meant"),
    "weight band the wrong way round": ("uses: {rug: {weight: 400 to 200 g/m²}}", 2, 22,
                                        '"400 to 200 g/m²"', "the lower end first", "check"),
    "bare the wrong way round": ("uses: {rug: {bare caution: 0.5}}", 2, 28,
                                 "a bare fault of 0.08 below a bare caution of 0.5",
                                 "from a higher bare index", "set both"),
    "bare beyond 1": ("uses: {rug: {bare fault: 3}}", 2, 26, '"3"', "a number from 0 to 1",
                      "check the number"),
    "colour taken for a comment": ("note: a #1 note", 2, 7, "taken for a comment",
                                   "plainly whole", "in quotes"),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS.values(), ids=SLIPS)
def test_each_slip_is_located_and_mended(slip: tuple[str, int, int, str, str, str]) -> None:
    text, line, column, found, expected, mend = slip
    (problem,) = problems(f"name: A\n{text}\n")
    assert (problem.line, problem.column) == (line, column), problem
    assert found in problem.found and expected in problem.expected and mend in problem.mend


def test_without_a_name_it_says_so() -> None:
    (problem,) = problems("as of: 0.1.0\n")
    assert problem.found == "a studio without name" and "name: Saltgrass Felt" in problem.mend


def test_all_slips_are_told_at_once_in_file_order() -> None:
    text = (
        "nme: A\nrules:\n  rim-hight: {}\n  rim-height: {limits: {ratio: 2 cm, reach: 2 g}}\n"
        "scale step: 1 cm\nfibres: {dune: {like: merno, shade: red}}\nstock: {mist: 250}\n"
    )
    found = problems(text)
    assert [p.line for p in found] == [1, 3, 4, 4, 5, 6, 6, 7]
    links = problems("name: A\nas of: 9.9\nfibres: {dune: {}}\nuses: {gull: {}}\n")
    assert [(p.line, p.kind) for p in links] == [(2, "link"), (3, "link"), (4, "link")]


@pytest.mark.parametrize(
    ("text", "found", "expected"),
    [
        ("", "an empty file", "a studio file"),
        ("a: [b\n", "brackets that are not closed", "YAML that can be read"),
        ("- name: A\n", "a list", "a studio with keys such as format, name"),
        ("name: A\nname: B\n", 'a second "name"', "each key once"),
        ("name: A\n---\nname: B\n", "a second document", "one studio file a file"),
    ],
)
def test_what_is_no_studio_file_is_said_in_its_words(text: str, found: str, expected: str) -> None:
    problem = problems(text)[0]
    assert found in problem.found and expected in problem.expected
    assert "recipe" not in problem.found + problem.expected


def test_a_rule_of_a_plugin_that_broke_down_is_answered_with_that_cause() -> None:
    causes = {"tide": "tide-rules 2.1, ModuleNotFoundError: No module named 'moon'"}
    with pytest.raises(PluginMissing) as caught:
        read("name: A\nrules:\n  neap-tide: {loudest: note}\n", causes=causes)
    (problem,) = caught.value.problems
    assert (problem.line, problem.column, problem.kind) == (3, 3, "plugin")
    assert "No module named 'moon'" in problem.mend and "tide-rules 2.1" in problem.mend
    with pytest.raises(StudioError) as caught_too:
        read("name: A\nrules:\n  rim-hight: {loudest: note}\n", causes=causes)
    assert 'write "rim-height"' in caught_too.value.problems[0].mend


def test_the_head_is_read_by_itself() -> None:
    opened = open_studio(Source("s", "needed plugins: [a, b]\nrule files: [c.py]\nx: y\n", "yaml"))
    assert (opened.needed, opened.rule_files) == (("a", "b"), ("c.py",))
    opened = open_studio(Source("s", "needed plugins: a\n", "yaml"))
    assert opened.needed == ()
    assert "write it as a list: [a]" in problems("name: A\nneeded plugins: a\n")[0].mend


# entries ------------------------------------------------------------------------------------------


def test_a_fibre_of_the_table_is_corrected_in_what_is_said_alone() -> None:
    old = built_in().fibres["merino"]
    (new,) = read("name: A\nfibres: {merino: {felts: 0.8 to 0.9}}\n").fibres
    assert (new.felts.low, new.felts.usual, new.felts.high) == pytest.approx((0.8, 0.85, 0.9))
    assert (new.density, new.diameter, new.also, new.legal) == (
        old.density, old.diameter, old.also, old.legal,
    )  # fmt: skip
    assert new.note == old.note
    sources = {key: (whence, standing) for key, whence, standing in new.sources}
    assert sources["felts"] == ("studio.yaml", "the studio's own")
    assert sources["density"] == {k: (w, s) for k, w, s in old.sources}["density"]


def test_a_fibre_of_the_house_may_be_like_another_of_the_house_in_any_order() -> None:
    marsh = "  marsh: {like: corriedale, felts: 0.5}\n"
    fine = "  marsh fine: {like: marsh, fineness: 22 um, also: [fine marsh]}\n"
    finer = "  marsh finer: {like: marsh fine, fineness: 19 um}\n"
    for lines in ((marsh, fine, finer), (finer, fine, marsh), (fine, marsh, finer)):
        fibres = {one.name: one for one in read("name: A\nfibres:\n" + "".join(lines)).fibres}
        assert list(fibres) == [line.split(":")[0].strip() for line in lines]
        one = fibres["marsh finer"]
        assert one.felts.usual == 0.5 and one.diameter.usual == pytest.approx(19e-6)
        assert one.group == "wool" and one.also == ()
        assert fibres["marsh fine"].also == ("fine marsh",)
    used = read("name: A\nuses:\n  oar: {weight: 500 to 900 g/m²}\n  thole: {like: oar}\n").uses
    assert [(one.name, one.low) for one in used] == [("oar", 0.5), ("thole", 0.5)]


def test_a_name_of_the_table_means_what_the_table_says() -> None:
    text = "name: A\nfibres: {merino: {felts: 0.5}, dune: {like: merino}, cork: {like: dune}}\n"
    fibres = {one.name: one.felts.usual for one in read(text).fibres}
    assert fibres["merino"] == 0.5 and fibres["dune"] == fibres["cork"] > 0.8


def test_a_fibre_of_the_house_is_like_another_or_says_all() -> None:
    text = (
        "name: A\nfibres:\n  dune: {like: gotland, legal names: {eu: wool}, traits: [luster]}\n"
        "  foil: {group: film, felts: 0, fineness: 12 um, density: 1.38 g/cm³, traits: [film]}\n"
    )
    dune, foil = read(text).fibres
    gotland = built_in().fibres["gotland"]
    assert (dune.name, dune.felts, dune.luster, dune.also) == ("dune", gotland.felts, True, ())
    assert dict(dune.legal)["eu"] == "wool" and dune.note == ""
    assert foil.film and foil.density == pytest.approx(1380) and foil.felts.high == 0
    assert foil.diameter.usual == pytest.approx(12e-6)


def test_a_use_of_the_house() -> None:
    text = (
        "name: A\nuses:\n  net: {weight: 30 to 60 g/m², allows: [holes, one way],"
        " bare caution: 40 %, bare fault: 0.6}\n  rug: {weight: 1 to 2 kg/m²}\n"
    )
    net, rug = read(text).uses
    assert (net.low, net.high, net.open, net.one_way) == (pytest.approx(0.03), 0.06, True, True)
    assert (net.bare_caution, net.bare_fault) == (0.4, 0.6)
    assert (rug.low, rug.high) == (1.0, 2.0) and rug.also == built_in().uses["rug"].also


def test_the_rest_is_kept() -> None:
    text = (
        "name: A\nprices: {mist: 4.80 EUR per 100 g}\nstock: {mist: 2 kg}\nnotebook: swatches.yaml\n"
        "readers: [children]\nscale step: 0.1 oz\nas of: 0.3.1\nplugins as of: {tide-rules: 1.2}\n"
    )
    studio = read(text)
    assert studio.prices[0][1].currency == "EUR" and studio.stock[0][1].si == 2.0
    assert (studio.notebook, studio.readers, studio.as_of) == (
        "swatches.yaml", ("children",), "0.3.1",
    )  # fmt: skip
    assert studio.plugins_as_of == (("tide-rules", "1.2"),)
    assert studio.scale_step is not None and studio.scale_step.si == pytest.approx(0.0028349523125)


def test_own_names_come_before_other_names() -> None:
    from felt_engine.model.catalogue import Table

    table = Table({"a": {"also": ("b",)}, "b": {"also": ()}}, lambda name, raw: name)
    assert table.names == {"a": "a", "b": "b"}


def test_releases_compare_as_numbers() -> None:
    texts = ["0.1", "0.1.1", "0.2.0", "0.9.3", "0.10", "1.0.0", "2"]
    random.Random(1).shuffle(mixed := texts.copy())
    assert sorted(mixed, key=lambda text: release(text) or ()) == texts
    assert release("1.0.0") == release("1") and release("1.0rc1") is None


@pytest.mark.parametrize("protocol", range(pickle.HIGHEST_PROTOCOL + 1))
def test_studios_and_their_errors_pickle(protocol: int) -> None:
    text = (ROOT / "recipes" / "saltgrass" / "studio.yaml").read_text(encoding="utf-8")
    made = Engine(studio=text).studio
    back = pickle.loads(pickle.dumps(made, protocol))
    assert back == made and back.source == made.source
    for error in (StudioError, PluginMissing):
        one = error("s", problems("name: A\nas of: 9.9\n"))
        again = pickle.loads(pickle.dumps(one, protocol))
        assert type(again) is error and again.problems == one.problems and str(again) == str(one)
    assert copy.deepcopy(made) == made


# schema -------------------------------------------------------------------------------------------


def refused(document: Any) -> list[Problem]:
    found = problems(json.dumps(document), "json")
    return [p for p in found if p.kind not in ("link", "limit")]


@settings(max_examples=300, deadline=None, derandomize=True)
@given(document=record(RECORD), seed=st.integers(0, 10**6))
def test_schema_and_reader_accept_the_same(document: dict[str, Any], seed: int) -> None:
    assert not refused(document) and not list(VALIDATOR.iter_errors(document))
    changed = mutate(document, seed)
    errors = [e.message[:200] for e in VALIDATOR.iter_errors(changed)]
    assert bool(refused(changed)) == bool(errors), (refused(changed), errors, changed)


LEAVES: dict[str, Kind] = {
    json.dumps(kind.schema({})): kind
    for kind in kinds(RECORD) if isinstance(kind, (Setting, Figure, Form))
}  # fmt: skip


@pytest.mark.parametrize("kind", LEAVES.values(), ids=LEAVES)
def test_schema_and_reader_agree_on_every_text(kind: Kind) -> None:
    defs: dict[str, Any] = {}
    own = jsonschema.Draft202012Validator({**kind.schema(defs), "$defs": defs})

    def right(value: Any) -> bool:
        text = json.dumps(value)
        context = Context(text, "json", built_in().names)
        kind.read(read_json(text), "", context)
        return not [p for p in context.problems if p.kind not in ("link", "limit")]

    @settings(max_examples=100, deadline=None, derandomize=True, database=None)
    @given(value=values(kind), seed=st.integers(0, 10**6))
    def compare(value: Any, seed: int) -> None:
        chance = random.Random(seed)
        tried = [value]
        if isinstance(value, str):
            tried += [spoil(value, chance) for _ in range(12)]
        for one in tried:
            assert right(one) == own.is_valid(one), one

    for wrong in WRONG:
        assert right(wrong) == own.is_valid(wrong), wrong
    compare()


def test_the_committed_schema_is_that_of_the_built_in_rules() -> None:
    from felt_engine.plugins import OURS, Plugins
    from felt_engine.plugins import find as installed
    from felt_engine.studio import schema

    book = Plugins.load(one for one in installed() if one.module in OURS).rule_book()
    text = (ROOT / "schemas" / "studio.schema.json").read_text(encoding="utf-8")
    assert json.loads(text) == schema(book), "run python -m felt_engine.studio"
    jsonschema.Draft202012Validator.check_schema(json.loads(text))


def test_the_schema_of_an_engine_has_its_rules() -> None:
    schema = Engine().studio_schema()
    rules = schema["$defs"]["rules"]["properties"]
    assert set(rules) == {one.rule.id for one in Engine().rule_book.rules}
    plain = yaml.safe_load((ROOT / "recipes" / "saltgrass" / "studio.yaml").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(plain)


def test_every_problem_points_into_the_file() -> None:
    for text, *_ in SLIPS.values():
        whole = f"name: A\n{text}\n"
        tree = open_studio(Source("s", whole, "yaml")).tree
        for problem in problems(whole):
            assert find(tree, problem.pointer).line <= (problem.line or 0) + 1


@pytest.mark.parametrize(
    ("rule", "limits", "right"),
    [
        ("direction-balance", "{caution: 0.9, fault: 0.1}", False),
        ("direction-balance", "{caution: 0.9}", False), ("direction-balance", "{fault: 0.5}", True),
        ("luster-carrier", "{caution: 0.01}", False), ("luster-carrier", "{fault: 0.01}", True),
        ("luster-carrier", "{caution: 0.1, fault: 0.1}", True),
    ],
)  # fmt: skip
def test_a_fault_is_never_reached_before_a_caution(
    rule: str, limits: str, right: bool, tmp_path: Path
) -> None:
    """More is worse for the pull of directions, less for what holds lustrous fibre."""
    file = tmp_path / "studio.yaml"
    file.write_text(f"name: S\nrules: {{{rule}: {{limits: {limits}}}}}\n")
    if right:
        assert Engine(studio=file).studio is not None
        return
    with pytest.raises(StudioError, match="so that the fault comes before the caution"):
        Engine(studio=file)


@pytest.mark.parametrize("section", ["uses", "fibres"])
def test_a_table_is_listed_once(section: str, tmp_path: Path) -> None:
    file = tmp_path / "studio.yaml"
    entries = "".join(f"  u{n}: {{like: zz{n}}}\n" for n in range(190))
    file.write_text(f"name: S\n{section}:\n{entries}")
    with pytest.raises(StudioError) as caught:
        Engine(studio=file)
    assert len(str(caught.value).replace(str(file), "")) < 20_000
    expected = [one.expected for one in caught.value.problems]
    assert ", s" in expected[0] and all("as listed for line 3" in one for one in expected[1:-1])


@pytest.mark.parametrize("name", ["Merino", "m\u0435rino", "MERINO"])
@pytest.mark.parametrize("key", ["fibres"])
def test_a_name_that_looks_like_one_of_the_table_is_no_new_one(name: str, key: str) -> None:
    with pytest.raises(StudioError, match="looks like merino"):
        Engine(studio=f"name: S\n{key}: {{{name}: {{like: merino}}}}\n")


@pytest.mark.parametrize(
    "text",
    ["fibres: {corriedale: {like: foo}, foo: {like: corriedale}}",
     "fibres: {foo: {like: corriedale}, corriedale: {like: foo, felts: 0.5}}",
     "uses: {rug: {like: oar}, oar: {like: rug, weight: 900 to 1000 g/m²}}"],
)  # fmt: skip
def test_one_of_the_table_may_be_like_one_of_the_file_that_is_like_it(text: str) -> None:
    engine = Engine(studio=f"name: S\n{text}\n")
    report = engine.check(
        "piece: {title: T, use: rug, shape: rectangle, laid out: 30 x 30 cm}\n"
        "lots: {wool: {fibre: corriedale}}\nlayers: [{name: one, of: wool, amount: 90 g}]\n"
    )
    assert not report.not_judged
    band = engine.catalogue.uses["rug"]
    assert 0 < band.low < band.high


def test_an_entry_is_not_said_to_be_meant_as_like_itself() -> None:
    text = "name: X\nfibres:\n  saltmarsh cross: {like: saltmarsh}\n  harbour: {like: saltmarsh cros}\n"
    with pytest.raises(StudioError) as refused:
        Engine(studio=text)
    own, other = refused.value.problems
    assert "saltmarsh cross" not in own.mend
    assert 'write "saltmarsh cross"' in other.mend


def test_every_limit_may_be_set_to_the_ends_that_are_told() -> None:
    """Told in six figures, and within what a quantity of its kind may be."""
    tried = 0
    for rule in known_rules(Engine().rule_book):
        for limit in rule.limits:
            kind = Setting(limit)
            for end, beyond in zip(kind.bounds, (0.99, 1.01), strict=True):
                if not math.isfinite(end):
                    continue
                context = Context("", "yaml")
                told = written(end, limit.unit)
                node = Node("text", told, 0, 0, 1, 1, quoted=True)
                assert kind.read(node, "/x", context) is not BAD, (rule.id, limit.name, told)
                tried += 1
                if end == 0:
                    continue
                past = Node("text", written(end * beyond, limit.unit), 0, 0, 1, 1, quoted=True)
                assert kind.read(past, "/x", context) is BAD, (rule.id, limit.name, past.text)
                assert "(0 cm" not in context.problems[0].expected
    assert tried > 200
