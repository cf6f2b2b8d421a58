"""The studio file joined with what is loaded: head, plugins, rule book and tables, then the rest."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from typing import Any

import attrs

import felt_engine
from felt_engine.beside import leads_out
from felt_engine.checking.report import NotJudged
from felt_engine.checking.rulebook import RuleBook
from felt_engine.errors import Problem, StudioError
from felt_engine.installed import tidy
from felt_engine.model.catalogue import Catalogue
from felt_engine.model.place import join
from felt_engine.model.recipe import Source
from felt_engine.model.studio import KnownFormer, KnownLimit, KnownRule, Studio
from felt_engine.plugins import OURS, Plugins, find
from felt_engine.reading.names import Slip
from felt_engine.reading.read_studio import Opened, of_studio, open_studio, read_studio
from felt_engine.reading.source import Readable, is_text, name_of, open_source
from felt_engine.reading.studio_shape import studio_schema
from felt_engine.reading.tree import Unreadable


def open_head(source: Readable, found: bool) -> Opened:
    """The studio file with its head read. StudioError for what can't be read.

    A file that was only found beside a recipe may not name code to load.
    """
    if found and not isinstance(source, Source) and not is_text(source):
        folder = os.path.dirname(source)
        if leads_out(source, folder):
            name = os.fspath(source)
            linked = Problem(
                "a link that leads out of its folder",
                "a studio file in it, since nobody named this one",
                f"copy it there; or name it: --studio {name}", "", None, None, "text",
            )  # fmt: skip
            raise StudioError(name, (linked,))
    try:
        text = open_source(source, what="studio")
    except Unreadable as error:
        problems = tuple(map(of_studio, error.problems))
        raise StudioError(name_of(source), problems) from None
    opened = open_studio(text)
    if found and opened.rule_files:
        slip = (
            "/rule files", "rule files in a studio file that was only found",
            "a file that was named, since only that may load code",
            f"name it: --studio {text.name}; or take rule files out",
        )  # fmt: skip
        opened.refuse([slip], "link")
    return opened


def files_of(opened: Opened, source: Readable) -> tuple[str, ...]:
    """Paths of the rule files, which are counted from the studio file."""
    if isinstance(source, Source):
        folder = os.path.dirname(source.name)
    else:
        folder = "" if is_text(source) else os.path.dirname(os.fspath(source))
    return tuple(os.path.join(folder, name) for name in opened.rule_files)


def need_plugins(opened: Opened, plugins: Plugins) -> None:
    """PluginMissing if a plugin that the studio file needs isn't there, or broke down."""
    opened.refuse(_missing(opened.needed, plugins), "plugin")


def _missing(needed: tuple[str, ...], plugins: Plugins) -> Iterator[Slip]:
    from felt_engine.suggest import nearest

    there = plugins.there()
    broke = {tidy(name): one for one in plugins.broke for name in (one.what, one.package)}
    for index, name in enumerate(needed):
        wanted = tidy(name)
        if wanted in there:
            continue
        fell = broke.get(wanted)
        if fell is not None:
            found = f'the plugin "{name}", which broke down: {fell.reason}'
            mend = "mend it, or install another version of it"
        else:
            found = f'the plugin "{name}", which is not installed'
            close = nearest(name, there, 0.8)
            mend = f'write "{close}", if that is meant' if close else "install it, or take it out"
        yield join("needed plugins", index), found, "a plugin that is installed and loads", mend


def read_rest(
    opened: Opened, found: bool, book: RuleBook, catalogue: Catalogue,
    broke: tuple[NotJudged, ...],
) -> Studio:  # fmt: skip
    """The whole studio file against the rule book and the tables. StudioError or PluginMissing."""
    studio = read_studio(
        opened, known_rules(book), catalogue, felt_engine.__version__, _causes(broke),
        {one.package for one in book.rules} - {"felt-engine"},
        tuple(KnownFormer(one.id, one.now, one.told) for one in book.former.values()),
    )  # fmt: skip
    if found and studio.notebook is not None:
        _keep_within(opened, studio.notebook)
    return attrs.evolve(studio, file=_shown(opened.source.name, found))


def _keep_within(opened: Opened, notebook: str) -> None:
    folder = os.path.dirname(opened.source.name)
    if leads_out(os.path.join(folder, notebook), folder):
        slip = (
            "/notebook", f'"{notebook}", which lies outside of the studio file\'s folder',
            "a notebook in it, since nobody named this studio file",
            f"move it there; or name the studio file: --studio {opened.source.name}",
        )  # fmt: skip
        opened.refuse([slip], "link")


def _shown(name: str, found: bool) -> str:
    """What reports call the file: as it was named, but never a whole path."""
    return os.path.basename(name) if found or os.path.isabs(name) else name


def known_rules(book: RuleBook) -> tuple[KnownRule, ...]:
    """What a reader needs to know of the rules."""
    return tuple(
        KnownRule(
            one.rule.id, one.rule.title,
            tuple(KnownLimit(n.name, n.unit, n.default, n.about) for n in one.rule.limits),
        )
        for one in book.rules
    )  # fmt: skip


def _causes(broke: tuple[NotJudged, ...]) -> Mapping[str, str]:
    """Why something isn't there, by its name, of what may have had rules."""
    others = ("_exporters)", "_fibres)", "_uses)", "_cautions)")
    return {
        one.what: f"{one.owner}, {one.reason}" for one in broke if not one.what.endswith(others)
    }


def schema(book: RuleBook) -> dict[str, Any]:
    """The JSON Schema of a studio file for these rules."""
    return studio_schema(known_rules(book))


def main() -> None:
    """Write ``schemas/studio.schema.json`` below the current folder, for the built-in rules."""
    from pathlib import Path

    from felt_engine.reading.schema import as_file

    book = Plugins.load(one for one in find() if one.module in OURS).rule_book()
    text = as_file(schema(book))
    Path("schemas/studio.schema.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
