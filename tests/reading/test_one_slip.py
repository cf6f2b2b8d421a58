"""One slip is told once: a misspelt key isn't missing too, and a file of another kind is just that."""

from __future__ import annotations

import json
import re

import attrs
import pytest
from kit import GROUND
from kit_reading import PANEL, problems

import felt_engine
from felt_engine.errors import FileError, Problem

REPORT = felt_engine.export(felt_engine.check(GROUND), "json")
FORECAST = json.dumps(attrs.asdict(felt_engine.forecast(GROUND)))
NOTEBOOK = "title: T\nswatches: []\n"
STUDIO = "name: S\nrules: {}\n"
KINDS = {
    "a recipe": GROUND, "a notebook": NOTEBOOK, "a studio file": STUDIO, "a report": REPORT,
    "a report (SARIF)": felt_engine.export(felt_engine.check(GROUND), "sarif"),
    "a forecast": FORECAST,
}  # fmt: skip


def refused_as(kind: str, text: str) -> tuple[Problem, ...]:
    """What is wrong with a text that is read as one of this kind."""
    try:
        if kind == "a recipe":
            felt_engine.load(text)
        elif kind == "a notebook":
            felt_engine.read_notebook(text)
        else:
            felt_engine.Engine(studio=text)
    except FileError as error:
        return error.problems
    return ()


@pytest.mark.parametrize("wanted", ["a recipe", "a notebook", "a studio file"])
@pytest.mark.parametrize("given", KINDS)
def test_a_file_of_another_kind_is_one_slip(given: str, wanted: str) -> None:
    found = refused_as(wanted, KINDS[given])
    if given == wanted:
        assert all(one.found not in KINDS for one in found)
        return
    (slip,) = found
    assert (slip.found, slip.expected, slip.line, slip.column) == (given, wanted, 1, 1)
    assert slip.mend


def test_a_recipe_with_a_key_of_another_file_stays_a_recipe() -> None:
    (slip,) = problems(PANEL + "swatches: []\n")
    assert slip.found == 'the key "swatches"'
    (slip,) = problems(PANEL + "uses: {}\n")
    assert slip.found == 'the key "uses"'


@pytest.mark.parametrize("key", ["name: S\n", "name: S\nscale step: 1 g", "name: S\nprices: {}"])
def test_a_studio_file_of_another_name_is_one_slip(key: str) -> None:
    (slip,) = refused_as("a recipe", key)
    assert (slip.found, slip.expected) == ("a studio file", "a recipe")
    assert all(one.found != "a studio file" for one in refused_as("a recipe", f"{key}\nlayers: []"))


CONFLICT = """<<<<<<< ours
{}
=======
{}
>>>>>>> theirs
"""


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("door", ["yaml", "json"])
def test_two_versions_that_version_control_left_are_one_slip(door: str, end: str) -> None:
    if door == "yaml":
        text = PANEL.replace("lots:\n", CONFLICT.format("lots:", "lots:"))
        line = text[: text.index("<<<")].count("\n") + 1
    else:
        text, line = '{"piece":\n' + CONFLICT.format("{},", "{},") + '"lots": {}}', 2
    assert text.count("<<<<<<<") == 1
    (slip,) = problems(text.replace("\n", end))
    assert slip.found.startswith("two versions of one place")
    assert (slip.line, slip.column) == (line, 1)


@pytest.mark.parametrize("left_out", ["=======\n", ">>>>>>> theirs\n"])
def test_one_mark_alone_is_no_version(left_out: str) -> None:
    text = PANEL.replace("lots:\n", CONFLICT.format("lots:", "lots:")).replace(left_out, "")
    assert not any("two versions" in one.found for one in problems(text))


@pytest.mark.parametrize("section", ["lots", "layers", "zones"])
def test_a_section_that_is_there_twice_leaves_no_name_unknown(section: str) -> None:
    zone = "zones: {half: {shape: band, along: west, to: 30 cm}}\n"
    purpose = "on purpose: [{where: base, what: thin, why: a study}]\n"
    again = f"{section}: {'[]' if section == 'layers' else '{}'}\n"
    (slip,) = problems(PANEL + "    zone: half\n" + zone + purpose + again)
    assert slip.found == f'a second "{section}"'


def test_a_report_that_lists_nothing_is_a_report() -> None:
    assert json.loads(felt_engine.export([], "json"))["reports"] == []
    (slip,) = refused_as("a recipe", felt_engine.export([], "json"))
    assert slip.found == "a report"


@pytest.mark.parametrize("key", ["title", "shape", "laid out"])
def test_a_misspelt_key_isn_t_missing_too(key: str) -> None:
    for spelt in (key.title(), key.upper(), key.replace("t", "tt", 1).replace("sh", "shh")):
        (slip,) = problems(PANEL.replace(f"{key}:", f"{spelt}:"))
        assert (
            slip.found == f'the key "{spelt}"' and slip.mend == f'write "{key}", if that is meant'
        )


def test_a_key_that_is_like_none_leaves_the_needed_one_missing() -> None:
    found = {one.found for one in problems(PANEL.replace("title:", "qqq:"))}
    assert found == {"a piece without title", 'the key "qqq"'}


def test_a_misspelt_key_shuts_no_other_out() -> None:
    text = PANEL.replace("shape: rectangle", "shape: polygon, cornerrs: [], x: 1")
    assert not any("both" in one.found for one in problems(text))


@pytest.mark.parametrize(("text", "found", "expected", "mend"), [
    ("300  %", '"300 %"', "up to 90 %", "check the figure"),
    ("30  %", '"30 %", with other blanks', "1/3 or 25 %", "write 30 %, with no other blanks"),
    ("1", '"1"', "1/3 or 25 %", "write it like this: 1/3"),
    ("0.5", '"0.5"', "1/3 or 25 %", "write 50 %, if that is meant"),
])  # fmt: skip
def test_a_part_of_a_tuft_is_mended_in_one_go(
    text: str, found: str, expected: str, mend: str
) -> None:
    (slip,) = problems(PANEL + f"    overlap: {text}\n")
    assert slip.found == found and expected in slip.expected and slip.mend == mend


@pytest.mark.parametrize("count", ["3\u00a0", "3\u2009", "\u00a03", "'3 '"])
def test_blanks_about_a_count_are_told(count: str) -> None:
    text = PANEL.replace("  shape", "  how many: 3\n  amounts for: one\n  shape")
    (slip,) = problems(text.replace("many: 3", f"many: {count}"))
    assert slip.found == '"3", with other blanks' and slip.mend.startswith("write 3")
    assert not problems(text)


GLUED = """\
piece: {title: T, use:scarf, shape: rectangle, laid out: 50 x 50 cm}
lots: {m: {fibre: merino, fineness:18 um}, n: {fibre:merino}}
blends: {mix: {m:70 %, n: 30 %}}
layers:
- {name: a, of: m, amount: 20 g, direction: east-west}
- {name: b, of: mix, amount:20 g, direction: north-south}
"""


@pytest.mark.parametrize(("glued", "right"), [
    ("note:*gently*", 'note: "*gently*"'), ("note:@noon", 'note: "@noon"'), ("note:|a", 'note: "|a"'),
    ("note:#2", 'note: "#2"'), ("note:%", 'note: "%"'), ("note:-", 'note: "-"'),
    ('note:"well"', 'note: "well"'), ("note:'well'", "note: 'well'"), ("note:well", "note: well"),
    ("note:a:b", "note: a:b"), ("note :well", "note: well"), ("note:[", ""),
])  # fmt: skip
def test_what_is_told_of_a_colon_without_a_blank_mends_it(glued: str, right: str) -> None:
    text = PANEL.replace("{fibre: merino}", f"{{fibre: merino, {glued}}}")
    if right:
        (slip,) = problems(text)
        quotes = (
            " (a text that begins with a sign stands in quotes)"
            if '"' in right and '"' not in glued
            else ""
        )
        assert slip.mend == f"write a blank behind note:{quotes}"
        assert not problems(text.replace(glued, right))
    assert problems(text)


@pytest.mark.parametrize(("glued", "mend"), [
    ("titl:e T", "put the colon behind title, and a blank behind it"),
    ("laid:out 50 x 50 cm", "put the colon behind laid out, and a blank behind it"),
    ("title:\u200bT", "delete what stands behind title: and doesn't show (U+200B), and write a blank there"),
    ("title:\u2009\u200b T", "(U+2009 or U+200B), and write a blank there"),
    ("title :T", "write a blank behind title:"),
])  # fmt: skip
@pytest.mark.parametrize("flow", [True, False])
def test_a_colon_that_stands_elsewhere(glued: str, mend: str, flow: bool) -> None:
    other = "title: T" if "out" in glued else "laid out: 50 x 50 cm"
    whole = (
        f"piece: {{%s, {other}, shape: round}}"
        if flow
        else f"piece:\n  %s\n  {other}\n  shape: round"
    )
    rest = "\nlots: {m: {fibre: merino}}\nlayers: [{name: a, of: m, amount: 9 g}]\n"
    first = next(slip for slip in problems(whole % glued + rest) if slip.kind == "text")
    assert first.mend.endswith(mend)
    assert (first.line, first.column) == ((1, 9) if flow else (2, 3))


@pytest.mark.parametrize(("text", "mend"), [
    ("piec:e\n  title: T\n", "put the colon behind piece"),
    *((f"lots:{sign}\n  m: {{fibre: merino}}\n", "delete what stands behind lots: (its lines stand below)")
      for sign in (",", "{", "[", "|", ";", "7", "\u200b", "\u00a0", "'")),
    ("lots:\n  m:|\n    fibre: merino\n", "delete what stands behind m: (its lines stand below)"),
    ("layers:,\n- name: a\n  of: m\n", "delete what stands behind layers: (its lines stand below)"),
    ("piece:\n  note:\u200b\n  title: T\n", "delete what stands behind note: and doesn't show (U+200B)"),
    ("piece:\n  note:|\n    Laid on\n  title: T\n", "write a blank behind note:"),
    ("piece:\n  note:'Laid on\n    the table'\n  title: T\n", "write a blank behind note:"),
    ("piece:\n  note:Laid, on\n    the table\n  title: T\n", "write a blank behind note:"),
])  # fmt: skip
def test_a_glued_colon_before_what_goes_on_below(text: str, mend: str) -> None:
    (slip,) = problems(text)
    assert slip.mend == mend


@pytest.mark.parametrize(("lot", "mend"), [
    ("fibre:merino", "write {fibre: merino}, if that is meant"),
    ('"fibre: merino"', "write {fibre: merino}, if that is meant"),
    ("fibre:\u200bmerino", "give it its keys"), ("merino", "give it its keys"),
])  # fmt: skip
def test_a_text_where_keys_are_wanted(lot: str, mend: str) -> None:
    text = PANEL.replace("{fibre: merino}", lot)
    assert mend in [slip.mend for slip in problems(text)]
    if mend.startswith("write"):
        assert not problems(text.replace(lot, "{fibre: merino}"))


BLOCK = """\
piece:
  title: T
  shape: rectangle
  laid out: 50 x 50 cm
lots:
  m:
    fibre: merino
    note: soft
layers:
  - name: a
    of: m
    amount: 20 g
"""


@pytest.mark.parametrize(("line", "mend"), [
    ("  title: T", "title: T"), ("  shape: rectangle", "shape: rectangle"),
    ("  laid out: 50 x 50 cm", "laid out: 50 x 50 cm"), ("    fibre: merino", "fibre: merino"),
    ("    note: soft", "note: soft"), ("  - name: a", "name: a"), ("    of: m", "of: m"),
    ("    amount: 20 g", "amount: 20 g"),
])  # fmt: skip
def test_a_colon_without_a_blank_on_a_line_of_its_own(line: str, mend: str) -> None:
    (slip,) = problems(BLOCK.replace(line, line.replace(": ", ":")))
    number = BLOCK.splitlines().index(line) + 1
    assert (slip.line, slip.column) == (number, len(line) - len(mend) + 1)
    assert slip.mend == f"write a blank behind {mend.partition(':')[0]}:"
    assert slip.expected.startswith("a blank behind the colon")
    assert not problems(BLOCK)


def test_a_glued_value_on_a_line_of_its_own_is_offered_in_quotes() -> None:
    (slip,) = problems(BLOCK.replace("note: soft", "note:#4 of 5  # bought"))
    assert (
        slip.mend == "write a blank behind note: (a text that begins with a sign stands in quotes)"
    )
    assert not problems(BLOCK.replace("note: soft", 'note: "#4 of 5"'))
    (slip,) = problems(BLOCK.replace("fibre: merino", "fibre:[merino]"))
    assert slip.mend == "write a blank behind fibre:"


def test_a_long_text_behind_a_glued_colon_is_not_told_whole() -> None:
    (slip,) = problems(PANEL.replace("{fibre: merino}", f"{{fibre: merino, note:{'ab ' * 99}}}"))
    assert slip.mend == "write a blank behind note:"


def test_a_colon_without_a_blank_is_one_slip_each() -> None:
    found = problems(GLUED)
    names = ["use", "fineness", "fibre", "m", "amount"]
    assert [one.mend for one in found] == [f"write a blank behind {name}:" for name in names]
    mended = GLUED
    for name in names:
        mended = re.sub(rf"\b{name}:(?=\S)", f"{name}: ", mended)
    assert not problems(mended)


def test_a_share_that_a_comma_cut_in_two_is_one_slip_each() -> None:
    text = PANEL.replace(
        "layers:", "  red: {fibre: merino}\nblends: {pink: {white: 70,5 %, red: 29,5 %}}\nlayers:"
    )
    assert [one.found for one in problems(text)] == [
        '"70,5 %", cut in two at its comma', '"29,5 %", cut in two at its comma',
    ]  # fmt: skip


QUOTED = """\
piece: {title: Panel, shape: rectangle, laid out: 60 x 40 cm}
lots:
  white:
    fibre: merino
    shade: "early haze
    treatment: shrink-proofed
    colour: "#c9d3d8"
layers: [{name: base, of: white, amount: 20 g}]
"""


def test_quotes_that_are_closed_lines_later_lose_nothing_in_silence() -> None:
    (slip,) = problems(QUOTED)
    assert (slip.line, slip.column) == (7, 14) and slip.found == "a # right behind a closing quote"
    assert slip.mend == "close the quotes that open in line 5"
    assert not problems(QUOTED.replace("haze\n", 'haze"\n'))
    (slip,) = problems(QUOTED.replace("haze\n", 'haze"# mist\n'))
    assert slip.mend == "put a blank before the #, if a comment begins there"
    assert not problems(QUOTED.replace("haze\n", 'haze" # mist\n'))


@pytest.mark.parametrize(("old", "new"), [
    ("20 g", '"20 g"#/m²'), ("{fibre: merino}", "{fibre: merino}#, shade: snow}"),
    ("  shape", "  shows: [top]#, bottom]\n  shape"),
])  # fmt: skip
def test_what_a_glued_comment_would_swallow_is_told(old: str, new: str) -> None:
    (slip,) = problems(PANEL.replace(old, new))
    assert slip.found.startswith("a # right behind a closing ")
    assert not problems(PANEL.replace(old, new.replace("#", " #")))


@pytest.mark.parametrize("covers", ["all", "[all]"])
def test_a_total_of_all_has_no_covers(covers: str) -> None:
    (slip,) = problems(PANEL + f"totals: [{{amount: 20 g, covers: {covers}}}]\n")
    assert slip.mend.startswith("leave ") and "all layers" in slip.mend


ABOVE = [
    ("...\n", (1, 1), "three dots, which end a text in YAML", "leave that line out"),
    ("-\n", (2, 1), "a list that begins with nothing, and then a key", "leave the dash above out"),
]


@pytest.mark.parametrize(("line", "place", "found", "mend"), ABOVE)
def test_what_stands_above_a_recipe(
    line: str, place: tuple[int, int], found: str, mend: str
) -> None:
    (slip,) = problems(line + PANEL)
    assert ((slip.line, slip.column), slip.found, slip.mend) == (place, found, mend)


@pytest.mark.parametrize(("glued", "mend"), [
    ("at:\"9 cm east, 7 cm north\"", "write a blank behind at:"),
    ("at:9 cm east", "write a blank behind at:"),
])  # fmt: skip
def test_a_glued_colon_is_not_taken_for_a_comma_too_many(glued: str, mend: str) -> None:
    zones = f"zones: {{z: {{shape: rectangle, size: 9 x 9 cm, {glued}}}}}\n"
    (slip,) = problems(PANEL + zones)
    assert slip.mend == mend and slip.found.startswith('"at:')


@pytest.mark.parametrize("value", ["{length: 70 cm, across: 4 cm}", "[a, b]"])
def test_a_glued_bracket_is_told_as_such(value: str) -> None:
    (slip,) = problems(PANEL + f"tools: {{mat: 50 x 50 cm, roller:{value}}}\n")
    assert slip.found == "a colon with no blank behind it"
    assert slip.mend == "write a blank behind the colon, or the whole text in quotes"


def test_a_band_with_no_width_is_not_to_be_swapped() -> None:
    zone = "zones: {z: {shape: band, along: north, from: 2 cm, to: 2 cm}}\n"
    (slip,) = problems(PANEL + zone)
    assert slip.mend == "give it a width, or leave it out"
    (slip,) = problems(PANEL + zone.replace("from: 2 cm", "from: 3 cm"))
    assert slip.mend == "swap them"


@pytest.mark.parametrize(("covers", "lists"), [
    ("base, trim", ['["base, trim"]', "[base, trim]"]),
    ("base and trim", ["[base and trim]", "[base, trim]"]),
    ("base & trim", ['["base & trim"]', "[base, trim]"]), ("base; trim", ["[base; trim]", "[base, trim]"]),
    ("base/trim", ["[base/trim]"]), ("Base", ["[Base]"]),
])  # fmt: skip
def test_names_that_are_no_list_are_offered_as_one_that_there_is_and_as_several(
    covers: str, lists: list[str]
) -> None:
    text = PANEL + f"totals:\n- amount: 20 g\n  covers: {covers}\n"
    (slip,) = problems(text)
    assert slip.mend == f"write it as a list: {lists[-1]}, if that is meant"
    named = text.replace("lots:\n", f'lots:\n  "{covers}": {{fibre: merino}}\n')
    (slip,) = problems(named)
    tail = ", whichever you mean" if lists[1:] else ", if that is meant"
    assert slip.mend == f"write it as a list: {' or '.join(lists)}{tail}"
    (slip,) = problems(PANEL.replace("  shape", "  shows: top\n  shape"))
    assert slip.mend == "write it as a list: [top]"


FLOW = """\
piece: {title: T, shape: rectangle, laid out: 50 x 50 cm}
lots: {m: {fibre: merino}}
layers: [{name: a, of: m, amount: 20 g, direction: random, note: x}]
"""


@pytest.mark.parametrize(("right", "tail"), [
    ("direction: random", True), ("name: a", False), ("amount: 20 g", True), ("laid out: 50 x 50 cm", True),
    ("title: T", False), ("fibre: merino", False),
])  # fmt: skip
def test_a_key_in_brackets_without_its_colon(right: str, tail: bool) -> None:
    (slip,) = problems(FLOW.replace(right, right.replace(":", "")))
    name = right.partition(":")[0]
    assert slip.found == f'"{right.replace(":", "")}"' and slip.pointer in (
        "/piece",
        "/layers/0",
        "/lots/m",
    )
    or_else = ", or quotes round all of the value before it if this belongs to it"
    assert slip.mend == f"write a colon behind {name}{or_else * tail}"


@pytest.mark.parametrize("tail", ["direction as above", "as above"])
def test_what_can_be_no_other_key_is_the_value_s_tail(tail: str) -> None:
    (slip,) = problems(FLOW.replace("note: x", f"note: x, {tail}"))
    assert slip.found == f'"x, {tail}", cut in two at its comma'


@pytest.mark.parametrize(("more", "found", "mend"), [
    ("work: [{do: roll, times: 1,000}]", "1,000", "write 1000 or 1, whichever you mean"),
    ("totals: [{amount: 20 g, covers: base, white}]", "base, white",
     "write it as a list: [base, white], if that is meant"),
    ("totals: [{amount: 20 g, note: so, so}]", "so, so", "put the whole value in quotes"),
])  # fmt: skip
def test_what_is_cut_at_its_comma_is_mended_as_the_whole_would_be(
    more: str, found: str, mend: str
) -> None:
    (slip,) = problems(f"{PANEL}{more}\n")
    assert slip.found == f'"{found}", cut in two at its comma'
    assert slip.mend == f"inside {{ }} and [ ] a comma ends a value: {mend}"


@pytest.mark.parametrize("sign", [" ", " = ", "=", "; ", ". ", "\uff1a", "\uff1a ", '" ', "' "])
def test_another_sign_for_a_colon_in_brackets(sign: str) -> None:
    (slip,) = problems(FLOW.replace("direction: ", f"direction{sign}"))
    told = f"for the {sign.strip()} " if sign.strip() else ""
    assert slip.mend.startswith(f"write a colon {told}behind direction, or quotes round all")


@pytest.mark.parametrize("share", ["n 30 %", "m 70 %"])
def test_a_share_without_its_colon_is_one_slip(share: str) -> None:
    name, _, rest = share.partition(" ")
    text = FLOW.replace(
        "merino}}", "merino}, n: {fibre: merino}}\nblends: {mix: {m: 70 %, n: 30 %}}"
    )
    assert not problems(text)
    (slip,) = problems(text.replace(f"{name}: {rest}", share))
    assert (
        slip.found == f'"{share}"' and slip.mend == "write a colon between the name and its value"
    )


@pytest.mark.parametrize(("more", "mend"), [
    ("readers: {children, own notes}", "write it in [ ] instead of { }"),
    ("totals: {amount: 20 g}", "put [ ] round it"), ("totals:\n  amount: 20 g", "start each with a dash and"),
])  # fmt: skip
def test_a_list_in_the_wrong_brackets(more: str, mend: str) -> None:
    (slip,) = problems(f"{PANEL}{more}\n")
    assert slip.mend.startswith(mend)


LISTS = """\
piece: {title: T, shape: round, laid out: 9 cm}
lots: {m: {fibre: merino}}
layers:
- {name: a, of: m, amount: 20 g}
- name: b
  of: m
  amount: 9 g
readers:
  - "own notes"
  - children
totals:
  - {amount: 29 g}
"""


@pytest.mark.parametrize(("entry", "place"), [
    ("- {name", (4, 1)), ("- name: b", (5, 1)), ('- "own', (9, 3)), ("- children", (10, 3)),
    ("- {amount", (12, 3)),
])  # fmt: skip
@pytest.mark.parametrize("behind", ["", "\t", "\u00a0", "\u202f"])
def test_a_dash_without_a_plain_blank_behind_it(
    entry: str, place: tuple[int, int], behind: str
) -> None:
    assert not problems(LISTS)
    text = LISTS.replace(entry, f"-{behind}{entry[2:]}")
    found = problems(text)[0]
    if found.kind == "text":
        assert (found.line, found.column) == place and found.found.startswith("a dash with")
        assert found.mend == (
            "write a plain blank for it" if behind else "write a blank behind the dash"
        )
    else:
        named = f"write a plain blank behind the dash, and not U+{ord(behind or ' '):04X}"
        usual = "start each with a dash and a space"
        assert found.mend == (named if behind.strip("\t") else usual)


@pytest.mark.parametrize("sign", [" ", "| ", "= ", "; ", ". "])
@pytest.mark.parametrize("name", ["piece", "lots"])
def test_a_group_in_brackets_without_the_colon_before_it(name: str, sign: str) -> None:
    text = FLOW.replace("fibre: merino", "fibre: merino, shade: x").replace(
        f"{name}: {{", f"{name}{sign}{{"
    )
    first = problems(text)[0]
    assert first.mend == "write a colon and a blank before the {" and first.line == 1 + (
        name == "lots"
    )


def test_a_group_of_one_key_without_the_colon_before_it() -> None:
    (slip,) = problems(PANEL.replace("white: {fibre: merino}", "white {fibre: merino}"))
    assert (slip.line, slip.column, slip.found) == (6, 3, '"white {fibre"')
    assert slip.mend == "write a colon and a blank before the {"
    (slip,) = problems(PANEL + "tools {mat: 50 x 50 cm}\n")
    assert (slip.found, slip.mend) == ('"tools {mat"', "write a colon and a blank before the {")


@pytest.mark.parametrize(("old", "new"), [
    ("white: {fibre: merino}", "white: fibre: merino"),
    ("  - name: base\n    of: white\n    amount: 20 g\n", "  - name: base, of: white, amount: 20 g\n"),
])  # fmt: skip
def test_keys_in_one_line_without_brackets(old: str, new: str) -> None:
    (slip,) = problems(PANEL.replace(old, new))
    assert slip.found == "several keys in one line without { }"
    assert not problems(PANEL.replace(old, old))


@pytest.mark.parametrize(("right", "typed", "told"), [
    ("amount: 20 g", "amount .5 oz", ""), ("amount: 20 g", "amount -30 g", ""),
    ("amount: 20 g", "amount.5 oz", ""), ("amount: 20 g", "amount ~20 g", ""),
    ("direction: random", "direction -> random", "for the -> "),
    ("direction: random", "direction=>random", ""),
])  # fmt: skip
def test_a_sign_that_begins_the_value_is_not_taken_for_the_colon(
    right: str, typed: str, told: str
) -> None:
    (slip,) = problems(FLOW.replace(right, typed))
    assert slip.mend.startswith(f"write a colon {told}behind {right.partition(':')[0]}, or")
