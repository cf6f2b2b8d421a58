"""Pages in headless Chromium: three widths and print, an accessibility checker, no request.

Skipped where there is no Chromium, unless FELT_BROWSER=needed says that there has to be one.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from kit import BROKEN, RECIPES, UNCROSSED

import felt_engine
from felt_engine.api import default_engine

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update",
]  # fmt: skip

if os.environ.get("FELT_BROWSER") != "needed" and not CHROMIUM:
    pytest.skip("there is no Chromium here", allow_module_level=True)


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pages")
    sources = [(path, path.name) for path in sorted(RECIPES.glob("*.*"))]
    reports = [felt_engine.look(path, name=name, drawing=True) for path, name in sources]
    reports += [
        felt_engine.look(t, name=n, drawing=True) for n, t in (("f", UNCROSSED), ("b", BROKEN))
    ]
    for name, pieces in default_engine().exporter("page").files(reports, felt_engine.Sheet()):  # type: ignore[misc]
        (folder / name).write_text("".join(pieces), encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def checker() -> str:
    import axe_core_python

    return (Path(axe_core_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")


@pytest.mark.parametrize("width", [360, 800, 1280])
def test_pages_fit_and_fetch_nothing(pages: Path, browser: Any, width: int) -> None:
    tab = browser.new_page(viewport={"width": width, "height": 900})
    asked: list[str] = []
    tab.on("request", lambda request: asked.append(request.url))
    for file in sorted(pages.iterdir()):
        asked.clear()
        tab.goto(file.as_uri())
        assert asked == [file.as_uri()]
        across = tab.evaluate("document.documentElement.scrollWidth")
        assert across <= width, f"{file.name} is {across} wide at {width}"
    tab.close()


def test_an_accessibility_checker_finds_nothing(pages: Path, browser: Any, checker: str) -> None:
    tab = browser.new_page(viewport={"width": 800, "height": 900})
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
    for file in sorted(pages.iterdir()):
        tab.goto(file.as_uri())
        tab.evaluate(checker)
        found = tab.evaluate("tags => axe.run(document, {runOnly: tags})", tags)
        assert found["passes"], file.name
        said = [(v["id"], v["nodes"][0]["html"][:120]) for v in found["violations"]]
        assert not said, f"{file.name}: {said}"
    tab.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_pages_print(pages: Path, browser: Any, paper: str) -> None:
    tab = browser.new_page()
    for file in sorted(pages.iterdir())[:3]:
        tab.goto(file.as_uri())
        assert tab.pdf(format=paper).startswith(b"%PDF")
    tab.close()
