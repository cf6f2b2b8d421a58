"""The built-in tables as a Catalogue."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from felt_engine.model.catalogue import Catalogue, FibreEntry, Span, Table, UseEntry


def _sources(raw: dict[str, Any], known: dict[str, tuple[str, str]]) -> Any:
    found = []
    for key, value in raw.items():
        if isinstance(value, tuple) and value and value[-1] in known:
            found.append((key, *known[value[-1]]))
    return tuple(found)


def _fibre(name: str, raw: dict[str, Any]) -> FibreEntry:
    from felt_engine.data.fibres import SOURCES

    size = raw.get("thickness") or raw["diameter"]
    return FibreEntry(
        name=name,
        group=raw["group"],
        felts=Span(*raw["felts"][:3]),
        density=raw["density"][0],
        diameter=Span(size[0] * 1e-6, size[1] * 1e-6, size[2] * 1e-6),
        film="thickness" in raw,
        heat_bondable=raw["heat_bondable"][0],
        luster=raw["luster"],
        legal=tuple((country, entry[0]) for country, entry in raw["legal"].items()),
        also=raw["also"],
        note=raw["note"],
        sources=_sources(raw, SOURCES),
    )


def _use(name: str, raw: dict[str, Any]) -> UseEntry:
    from felt_engine.data.uses import SOURCES

    return UseEntry(
        name=name,
        low=raw["band"][0] * 1e-3,
        high=raw["band"][1] * 1e-3,
        open=raw["open"],
        one_way=raw.get("one_way", False),
        relief=raw.get("relief", False),
        walls=raw.get("walls", False),
        bare_caution=raw["bare"][0],
        bare_fault=raw["bare"][1],
        also=raw["also"],
        note=raw["note"],
        sources=_sources(raw, SOURCES),
    )


@lru_cache(maxsize=1)
def built_in() -> Catalogue:
    """The tables that come with the engine."""
    from felt_engine.data.fibres import FIBRES, SHRINK_PROOFED_FELTS
    from felt_engine.data.uses import USES

    return Catalogue(Table(FIBRES, _fibre), Table(USES, _use), Span(*SHRINK_PROOFED_FELTS[:3]))
