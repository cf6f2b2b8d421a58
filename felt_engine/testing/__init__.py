"""For authors of rules, exporters, fibres, uses and cautions: try them, and hold them to what they say.

One line tests a whole plugin, in a file that pytest finds::

    import harbour_rules
    from felt_engine.testing import rule_tests

    test_plugin = rule_tests(harbour_rules)

And for what a page's examples don't show::

    from felt_engine.testing import finds, laid, recipe, stays_silent

    def test_two_silks_are_enough():
        stays_silent(RULE, recipe(laid("silk", "5 g"), laid("white top", "40 g", "north-south")))

Only ``rule_tests`` imports pytest; all else raises AssertionError, whoever runs it.
"""

from __future__ import annotations

from felt_engine.testing.asserting import (
    Heard,
    advises,
    asks,
    engine_of,
    finds,
    heard,
    stays_silent,
)
from felt_engine.testing.checks import checks, rule_tests
from felt_engine.testing.laws import LAWS, keeps_law
from felt_engine.testing.layouts import SHELF, drawn, laid, recipe

__all__ = [
    "LAWS", "SHELF", "Heard", "advises", "asks", "checks", "drawn", "engine_of", "finds", "heard",
    "keeps_law", "laid", "recipe", "rule_tests", "stays_silent",
]  # fmt: skip
