"""The page exporter: true figures, true geometry, nothing that escapes or is fetched."""

from __future__ import annotations

import os
import re
from html.parser import HTMLParser
from pathlib import Path

import attrs
import pytest
from kit import BROKEN, GROUND, RECIPES, ROOT, UNCROSSED, run

import felt_engine
from felt_engine import CallError, Report
from felt_engine.api import default_engine

GOLDEN = Path(__file__).parent.parent / "golden"
ZONED = """\
piece: {title: Zones, use: wall panel, shape: rectangle, laid out: 60 x 40 cm, stage: firm}
lots:
  sand: {fibre: merino, preparation: combed top, fineness: 20 um, colour: "#c9b48a"}
  sea: {fibre: merino, preparation: combed top, fineness: 20 um, colour: "#2f5d73"}
zones:
  box: {shape: rectangle, size: 20 x 10 cm, at: "5 cm east, 8 cm north"}
  strip: {shape: band, along: north, from: 2 cm, to: 6 cm}
  frame: {shape: rim, width: 3 cm}
  sun: {shape: round, size: 8 cm, at: "40 cm east, 20 cm north"}
  sail:
    shape: polygon
    corners: ["30 cm east, 5 cm north", "38 cm east, 5 cm north", "34 cm east, 15 cm north"]
layers:
  - {name: along, of: sand, amount: 48 g, direction: east-west, lay: shingle, overlap: 1/3,
     tuft: 6 x 12 cm}
  - {name: across, of: sand, amount: 48 g, direction: north-south}
  - name: marks
    direction: bearing 30°
    role: accent
    placements:
      - {of: sea, amount: 2 g, zone: box}
      - {of: sea, amount: 2 g, zone: strip}
      - {of: sea, amount: 2 g, zone: frame}
      - {of: sea, amount: 1 g, zone: sun}
      - {of: sea, amount: 1 g, zone: sail}
      - {of: sea, amount: 1 g, zone: box, short: 1 cm}
"""


def page(text: str, name: str = "r.yaml") -> tuple[Report, str]:
    report = felt_engine.look(text, name=name, drawing=True)
    return report, felt_engine.export(report, "page")


class Reader(HTMLParser):
    """Collects tags, attributes, table rows and plain text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.rows: list[list[str]] = []
        self.words: list[str] = []
        self.cell = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag == "tr":
            self.rows.append([])
        self.cell = tag in ("td", "th") or (self.cell and tag not in ("tr",))
        if tag in ("td", "th"):
            self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th"):
            self.cell = False

    def handle_data(self, data: str) -> None:
        self.words.append(data)
        if self.cell and self.rows and self.rows[-1]:
            self.rows[-1][-1] += data


def test_every_weight_on_the_page_is_that_of_the_report() -> None:
    report, text = page(ZONED)
    rows = [[cell.strip() for cell in row] for row in Reader(text).rows]
    weights = report.weights
    assert weights is not None
    for line in (*weights.by_layer, *weights.by_lot, *weights.by_fibre):
        shown = next(r for r in rows if len(r) == 4 and r[0] == line.name and r[3] == line.how)
        assert shown[1:3] == [f"{line.grams:.2f}", f"{line.ounces:.3f}"]
    total = weights.piece
    assert ["All together", f"{total.grams:.2f}", f"{total.ounces:.3f}", "all layers"] in rows
    # 8 of 8: each amount of the recipe stands in its layer's table, in g and oz
    for grams, ounces in (("48.00", "1.693"), ("2.00", "0.071"), ("1.00", "0.035")):
        assert any(row[2:4] == [grams, ounces] for row in rows if len(row) == 5)


def rings(path: str) -> list[list[tuple[float, float]]]:
    found = []
    for ring in path.split("Z"):
        pairs = re.findall(r"(-?[\d.]+),(-?[\d.]+)", ring)
        if pairs:
            found.append([(float(x), float(y)) for x, y in pairs])
    return found


def areas(text: str) -> list[tuple[str, list[list[tuple[float, float]]]]]:
    return [
        (str(attributes["data-zone"]), rings(str(attributes["d"])))
        for tag, attributes in Reader(text).tags
        if tag == "path" and attributes.get("class") == "area"
    ]


def test_geometry_read_back_is_the_recipe() -> None:
    """Millimetres; the drawing's y runs down from the far edge, at 400 mm."""
    found = areas(page(ZONED)[1])[2:]
    assert found[0] == ("box", [[(50, 320), (250, 320), (250, 220), (50, 220)]])
    assert found[1] == ("strip", [[(0, 60), (600, 60), (600, 20), (0, 20)]])
    assert found[2][1] == [
        [(0, 400), (600, 400), (600, 0), (0, 0)],
        [(30, 370), (570, 370), (570, 30), (30, 30)],
    ]
    (sun,) = found[3][1]
    xs, ys = [x for x, _ in sun], [y for _, y in sun]
    assert (min(xs) + max(xs)) / 2 == pytest.approx(400) and (
        min(ys) + max(ys)
    ) / 2 == pytest.approx(200)
    assert max(xs) - min(xs) == pytest.approx(80, rel=0.01)
    assert found[4] == ("sail", [[(300, 350), (380, 350), (340, 250)]])
    assert found[5] == ("box", [[(60, 310), (240, 310), (240, 230), (60, 230)]])


def test_the_parts_are_measured_in_words_and_on_rulers() -> None:
    """Inches: 1 in is 2.54 cm exactly (NIST SP 811)."""
    _, text = page(ZONED)
    rows = [[cell.strip() for cell in row] for row in Reader(text).rows]
    for row in (
        ["box", "rectangle 20 cm (7.9 in) wide, 10 cm (3.9 in) deep, near left corner 5 cm (2 in) "
         "east, 8 cm (3.1 in) north"],
        ["strip", "band from 2 cm (0.8 in) to 6 cm (2.4 in) off the north edge"],
        ["frame", "a frame 3 cm (1.2 in) wide all round"],
        ["sun", "round 8 cm (3.1 in) across, centre 40 cm (15.7 in) east, 20 cm (7.9 in) north"],
        ["sail", "corners at 30 cm (11.8 in) east, 5 cm (2 in) north; 38 cm (15 in) east, 5 cm "
         "(2 in) north; 34 cm (13.4 in) east, 15 cm (5.9 in) north"],
    ):  # fmt: skip
        assert row in rows
    (drawn,) = re.findall(r'<svg [^>]*class="parts">.*?</svg>', text)
    ticks = [
        (float(str(a["x1"])), float(str(a["y1"])))
        for tag, a in Reader(drawn).tags if a.get("class") == "ruler"
    ]  # fmt: skip
    assert {x for x, y in ticks if y == 400 and x} >= {100.0, 200.0, 600.0}
    assert {x for x, y in ticks if y == 0 and x not in (0, 600)} >= {127.0, 254.0, 508.0}
    assert {400 - y for x, y in ticks if x == 0 and y not in (0, 400)} == {100.0, 200.0, 300.0}


def test_a_piece_without_parts_has_no_table_of_them() -> None:
    assert "Where each part is" not in page(GROUND)[1]


def test_badges_at_one_place_lie_beside_each_other() -> None:
    two = """\
piece: {title: Two, use: wall panel, shape: rectangle, laid out: 40 x 30 cm, stage: firm}
lots:
  ink: {fibre: merino, preparation: combed top, fineness: 20 um, colour: "#101014"}
  pale: {fibre: merino, preparation: combed top, fineness: 20 um, colour: "#f4f0e6"}
layers:
  - {name: below, of: ink, amount: 20 g, direction: east-west}
  - {name: face, of: pale, amount: 8 g, direction: east-west, role: cover}
"""
    report, text = page(two)
    assert len(report.findings) == 2
    (figure,) = re.findall(r'<svg [^>]*class="stack">.*?</svg>', text)
    circles = [a for tag, a in Reader(figure).tags if tag == "circle"]
    badges = [(a["cx"], a["cy"]) for a in circles if "badge" in str(a["class"])]
    assert len(badges) == len(set(badges)) == 2


def test_direction_rows_and_scale_are_drawn() -> None:
    _, text = page(ZONED)
    reader = Reader(text)
    ways = [a for tag, a in reader.tags if tag == "line" and a.get("class") == "way"]
    level = [a for a in ways if a["y1"] == a["y2"]]
    upright = [a for a in ways if a["x1"] == a["x2"]]
    assert level and upright
    slanted = next(a for a in ways if a not in level and a not in upright)
    east = float(str(slanted["x2"])) - float(str(slanted["x1"]))
    north = float(str(slanted["y1"])) - float(str(slanted["y2"]))
    # bearing 30° clockwise from north: tan 30° = east / north
    assert east / north == pytest.approx(0.57735, abs=0.01)
    # 60 cm along the fibre, tufts of 12 cm, a third over: n = ceil((60/12 - 1/3)/(1 - 1/3)) = 7
    assert "7 rows, one every 8.0 cm" in " ".join(reader.words)
    assert sum(1 for tag, a in reader.tags if a.get("class") == "row") == 6
    assert "10 cm (3.9 in)" in text


def test_what_the_steps_call_for_is_cautioned_once() -> None:
    """Own words come first, and keep the usual line of that hazard away."""
    work = (
        "work: [{do: wet, water: 50 °C}, {do: roll, times: 400}, {do: cut}, {do: press}]\n"
        "tools: {iron: hot}\n"
    )
    own = "cautions: [{about: blades, says: Mind the blue knife.}]\n"
    _, text = page(GROUND + work + own)
    said = re.findall(r"<strong>Take care:</strong> (.*?)</li>", text)
    assert said[0] == "blades: Mind the blue knife."
    for word in ("scalds", "slippery: lay", "hands and posture", "stands? on its heel|iron stays"):
        assert sum(bool(re.search(word, line)) for line in said) == 1, word
    assert not any("Cut away" in line for line in said)
    assert "Take care" not in page(GROUND)[1]


def test_rows_of_a_part_are_told_for_that_part() -> None:
    part = ZONED.replace("zone: strip}", "zone: strip}", 1).replace(
        "    direction: bearing 30°\n",
        "    direction: east-west\n    lay: shingle\n    tuft: 5 x 10 cm\n",
    )
    words = " ".join("".join(Reader(page(part)[1]).words).split())
    assert "sea on strip: 8 rows, one every" in words


def test_findings_stand_on_the_page_with_number_limit_advice_and_mark() -> None:
    report, text = page(UNCROSSED)
    words = " ".join("".join(Reader(text).words).split())
    (finding,) = report.findings
    for part in (finding.message, finding.do, finding.how, finding.rule, "pull 0.526; limit 0.45"):
        assert " ".join(part.split()) in words
    reader = Reader(text)
    assert any(a.get("class") == "badge fault" for tag, a in reader.tags if tag == "circle")
    assert any(a.get("href") == "#finding-1" for tag, a in reader.tags if tag == "a")
    assert any(a.get("id") == "finding-1" for _, a in reader.tags)


def test_an_unreadable_recipe_has_a_page_too() -> None:
    report, text = page(BROKEN)
    words = " ".join("".join(Reader(text).words).split())
    assert "Could not be read" in words
    for problem in report.problems:
        assert problem.mend in words and f"Line {problem.line}, column {problem.column}" in words


def test_a_report_without_a_drawing_still_gives_a_page() -> None:
    text = felt_engine.export(felt_engine.check(GROUND), "page")
    assert "Weights of the piece" in text and "Lay it so" not in text


def test_the_page_is_as_it_was() -> None:
    """Set REWRITE_GOLDEN=1 to write it anew, then look at the page."""
    _, text = page(UNCROSSED, "fault.yaml")
    file = GOLDEN / "fault.html"
    if os.environ.get("REWRITE_GOLDEN"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


HOSTILE = [
    "</title><script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    '"><svg onload=alert(1)>',
    "' onmouseover='alert(1)",
    "</style><style>*{display:none}",
    "{{ 7 * 7 }}{% include 'x' %}",
    "javascript:alert(1)",
    "]]><!-- --><?php ?>",
    "&lt;b&gt; &amp; &#x3c;",
    "a\u200fb\u061c",
]


@pytest.mark.parametrize("evil", HOSTILE)
def test_text_of_a_recipe_cannot_break_out(evil: str) -> None:
    quoted = '"' + evil.replace("\\", "\\\\").replace('"', '\\"') + '"'
    text = ZONED.replace("title: Zones", f"title: {quoted}").replace("sand", quoted)
    text = text.replace("box", quoted).replace("name: marks", f"name: {quoted}")
    text += (
        f"note: {quoted}\non purpose:\n  - {{what: laid one way, where: {quoted}, why: {quoted}}}\n"
    )
    report, shown = page(text, evil)
    assert not report.problems, report.problems
    plain = Reader(page(ZONED)[1])
    reader = Reader(shown)
    assert {tag for tag, _ in reader.tags} <= {tag for tag, _ in plain.tags} | {"ul", "li"}
    names = {name for _, attributes in plain.tags for name in attributes}
    assert {name for _, attributes in reader.tags for name in attributes} <= names
    assert "49" not in "".join(reader.words).split()
    index = "".join(
        "".join(pieces)
        for _, pieces in default_engine().exporter("page").files([report], None)  # type: ignore[misc,arg-type]
    )
    assert "script" not in {tag for tag, _ in Reader(index).tags}


def test_nothing_is_fetched_and_nothing_runs() -> None:
    _, text = page(ZONED)
    for tag, attributes in Reader(text).tags:
        assert tag not in ("script", "iframe", "object", "embed", "link", "img", "form", "base")
        for name, value in attributes.items():
            assert not name.startswith("on")
            if name in ("href", "src", "action", "data"):
                assert re.fullmatch(r"#(finding|lay|stack)-\d+|#[a-z]+|index\.html", value or "")
            if "url(" in (value or ""):
                assert re.fullmatch(r"url\(#[a-z0-9-]+\)", value or "")
    assert "default-src 'none'" in text and "@import" not in text and "url(http" not in text


def test_several_recipes_want_a_folder(tmp_path: Path) -> None:
    reports = [felt_engine.look(t, name=n, drawing=True) for n, t in (("a", GROUND), ("b", ZONED))]
    with pytest.raises(CallError, match="folder"):
        felt_engine.export(reports, "page")
    assert felt_engine.export([], "page") == ""
    for name, text in (("a.yaml", GROUND), ("b.yaml", UNCROSSED), ("index.yaml", BROKEN)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "A.yaml").write_text(ZONED, encoding="utf-8")
    done = run("check", ".", "--as", "page", "--to", "pages", cwd=tmp_path)
    assert done.returncode == 2 and done.stdout == ""
    assert "could not be read: ./index.yaml" in done.stderr and len(done.stderr.splitlines()) == 1
    names = sorted(path.name for path in (tmp_path / "pages").iterdir())
    assert names == ["a-2.html", "a.html", "b.html", "index-2.html", "index.html"]
    index = (tmp_path / "pages" / "index.html").read_text(encoding="utf-8")
    links = [str(a["href"]) for tag, a in Reader(index).tags if tag == "a"]
    assert links[:3] == ["#unreadable", "#fault", "#right"]
    assert sorted(links[3:]) == sorted(set(names) - {"index.html"})
    words = " ".join("".join(Reader(index).words).split())
    for said in ("4 in all.", "Could not be read: 1", "Will go wrong as written: 1"):
        assert said in words
    done = run("check", ".", "--as", "page", "--to", "page.html", cwd=tmp_path)
    assert done.returncode == 2 and "name a folder" in done.stderr
    assert not (tmp_path / "page.html").exists()


def test_an_index_over_500_stays_small() -> None:
    report = felt_engine.look(ROOT / "tests" / "benchmarks" / "sample.yaml", drawing=True)
    *_, (name, pieces) = default_engine().exporter("page").files(iter([report] * 500), None)  # type: ignore[misc,arg-type]
    assert name == "index.html"
    assert len("".join(pieces)) < 500 * 12_000


def pages() -> list[Path]:
    return sorted(RECIPES.glob("*.*"))


@pytest.mark.parametrize("path", pages(), ids=lambda path: path.name)
def test_every_demo_recipe_has_a_page_with_all_its_layers(path: Path) -> None:
    report = felt_engine.look(path, drawing=True)
    assert report.drawing is not None
    text = felt_engine.export(report, "page")
    for face in report.drawing.faces:
        assert text.count('class="layer"') >= len(face.layers)
        for layer in face.layers:
            for placement in layer.placements:
                assert placement.area.outline
    total = sum(
        placement.grams for face in report.drawing.faces for layer in face.layers
        for placement in layer.placements
    )  # fmt: skip
    assert report.weights is not None
    assert total == pytest.approx(report.weights.piece.grams, rel=1e-6)


def test_what_a_report_made_by_hand_says_is_escaped_too() -> None:
    evil = '"><script>x</script>'
    engine = felt_engine.Engine()
    source = GROUND.replace("direction: north-south", "direction: east-west")
    report = engine.check(source, drawing=True)
    assert report.drawing is not None and report.findings
    face = report.drawing.faces[0]
    place = attrs.evolve(face.places[0], colours=(evil,) * len(face.places[0].colours))
    face = attrs.evolve(face, places=(place, *face.places[1:]))
    drawing = attrs.evolve(report.drawing, faces=(face, *report.drawing.faces[1:]))
    finding = attrs.evolve(report.findings[0], level=evil)
    findings = (finding, *report.findings[1:])
    made = attrs.evolve(report, drawing=drawing, findings=findings)
    assert "<script>x" not in engine.export(made, "page")
    spot = attrs.evolve(report.findings[0].spot, line=evil)
    made = attrs.evolve(report, findings=(attrs.evolve(report.findings[0], spot=spot),))
    assert "<script>x" not in engine.export(made, "markdown")
