"""Everything that the studio's pages promise, and a few things beside."""

from __future__ import annotations

import saltgrass_studio
from saltgrass_studio.class_table import RULE

from felt_engine.testing import engine_of, finds, laid, recipe, rule_tests, stays_silent

test_plugin = rule_tests(saltgrass_studio)

WHITE = laid("white batt", "300 g/m²", "random")
CLASS = ["class handout"]


def test_the_limit_is_met_at_its_border() -> None:
    stays_silent(RULE, recipe(WHITE, size="100 x 55 cm", readers=CLASS))
    finds(RULE, recipe(WHITE, size="100.1 x 55 cm", readers=CLASS), "caution", says="slide")
    finds(RULE, recipe(WHITE, size="100 x 55.1 cm", readers=CLASS), "caution", about="/piece")


def test_a_studio_with_larger_tables_says_so() -> None:
    large = "name: Harbour Hall\nrules: {class-table: {limits: {table-long: 150 cm}}}\n"
    stays_silent(RULE, recipe(WHITE, size="120 x 50 cm", readers=CLASS), studio=large)


def test_the_shelf_list_counts_every_piece() -> None:
    engine = engine_of(saltgrass_studio)
    pair = recipe(laid("hill batt", "45 g", "random"), how_many=2, amounts_for="one")
    assert engine.export(engine.look(pair), "shelf-list").splitlines() == [
        "Trial piece",
        "  hill batt     90.0 g     3.17 oz",
    ]


def test_the_caution_is_said_in_our_words() -> None:
    steps = [{"do": "wet"}, {"do": "rinse"}]
    sheet = recipe(WHITE, work=steps, readers=["children"])
    report = engine_of(saltgrass_studio).check(sheet)
    assert any("mats down first" in finding.do for finding in report.findings)
