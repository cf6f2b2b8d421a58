"""The one argument of every rule: figures in, findings out."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping

from felt_engine.analysis.build import Build, FaceBuild, Place
from felt_engine.analysis.steady import steady
from felt_engine.declare import Figure, Finding, Rule, Seen, Tip, Unsaid
from felt_engine.model.intent import Purpose
from felt_engine.model.recipe import Recipe
from felt_engine.value import fenced

Again = Callable[[Recipe, Collection[str] | None], tuple[Seen, ...]]
"""What rules find in a changed recipe: all of the first round, or those with these ids."""


class Bench:
    """What a rule works at: ``build`` (figures), ``recipe``, and its limits as they are set.

    ``found`` is what the other rules found, for a rule that reconsiders; empty for any other.
    ``unread`` is true where another rule has a changed recipe judged: what is found counts then, and
    nobody reads its words, so that a rule may leave out what takes long to say.
    """

    @fenced
    def __init__(
        self, rule: Rule, build: Build, limits: Mapping[str, float],
        found: tuple[Seen, ...] = (), again: Again | None = None, unread: bool = False,
    ) -> None:  # fmt: skip
        self.rule = rule
        self.unread = unread
        self.build = build
        self.recipe: Recipe = build.recipe
        self._limits = {limit.name: limits.get(limit.name, limit.default) for limit in rule.limits}
        self._units = {limit.name: limit.unit for limit in rule.limits}
        self._purposes: dict[str, list[Purpose]] = {}
        for purpose in self.recipe.purposes:
            self._purposes.setdefault(purpose.what, []).append(purpose)
        self.used: list[Purpose] = []
        self.found = found
        self._zones = {zone.name: zone for zone in self.recipe.zones}
        self._again = again

    def again(self, recipe: Recipe, rules: Collection[str] | None = None) -> tuple[Seen, ...]:
        """What the rules of the first round find in a changed recipe: pairs of rule id and finding.

        Give the ids of the ``rules`` that matter, if not all do: the others aren't run. Only for a rule
        that reconsiders (else ValueError). RecipeError for a recipe that can't be laid out.
        """
        if self._again is None:
            raise ValueError(f"{self.rule.id} doesn't reconsider what others found")
        return self._again(recipe, rules)

    @fenced
    def limit(self, name: str) -> float:
        """The value of one of this rule's limits. ValueError for a name that it doesn't declare."""
        return self._limits[name]

    @fenced
    def limit_on(self, face: FaceBuild, name: str, part: str) -> float:
        """A limit in metres, or another one's part of the face's shorter side, whichever is less."""
        return min(self._limits[name], steady(self._limits[part] * face.shorter_side))

    @fenced
    def limit_figure(self, name: str) -> Figure:
        """One of this rule's limits with its name and unit, to show beside a measured figure."""
        return Figure(name, self._limits[name], self._units[name])

    def meant(self, what: str, *places: object) -> bool:
        """Whether the recipe says that this is on purpose at one of these places.

        A place is a part of the recipe (layer, zone, lot …), a name, or a place of the build, which
        is also where every zone is that it lies in. A purpose for the whole piece holds everywhere.
        ValueError for a purpose that this rule doesn't declare.
        """
        if what not in self.rule.purposes:
            raise ValueError(f"{self.rule.id} declares no purpose {what!r}")
        alike = self._purposes.get(what)
        if alike is None:
            return False
        names = {"whole"} | {place if isinstance(place, str) else _name(place) for place in places}
        built = [place for place in places if isinstance(place, Place)]
        found = [
            p for p in alike if p.where in names or self._lies_in(p.where, built)
        ]  # fmt: skip
        self.used.extend(found)
        return bool(found)

    def _lies_in(self, where: str, places: list[Place]) -> bool:
        zone = self._zones.get(where) if places else None
        return zone is not None and any(place.lies_in(zone) for place in places)

    def finding(
        self, level: str, about: object, message: str, do: str, *, measured: Figure | None = None,
        limit: str | Figure | None = None, how: str = "", where: str = "",
        also: tuple[str, ...] = (), at: tuple[Place, ...] = (), explains: tuple[Finding, ...] = (),
    ) -> Finding:  # fmt: skip
        """A finding about a part of the recipe; ``limit`` names one of this rule's limits."""
        shown = self.limit_figure(limit) if isinstance(limit, str) else limit
        if isinstance(at, tuple):
            at = tuple(
                p for one in at for p in (one.as_written if isinstance(one, Place) else (one,))
            )
        return Finding(level, about, message, do, measured, shown, how, where, also, at, explains)

    def unsaid(self, about: object, what: str) -> Unsaid:
        """Not enough said: what the recipe would have to say for this rule to judge."""
        return Unsaid(about, what)

    def tip(self, about: object, text: str) -> Tip:
        """Advice that follows from a right recipe."""
        return Tip(about, text)


def _name(place: object) -> str:
    return str(getattr(place, "name", ""))
