"""A headless Chromium for the page; where there is none the tests skip, and under CI they fail.

Chromium is Debian's package `chromium`, or the program that CHROMIUM names. The accessibility checker is the
npm package axe-core, under `.browser-tests/node_modules` of the repository, or the file that AXE_CORE names.
"""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn

import pytest

ROOT = Path(__file__).parents[3]
AXE = ROOT / ".browser-tests" / "node_modules" / "axe-core" / "axe.min.js"
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def missing(what: str) -> NoReturn:
    """Skip with the reason, or fail where the tests must not be skipped."""
    if os.environ.get("CI"):
        pytest.fail(f"{what} is missing, and CI must not skip the browser tests")
    pytest.skip(f"{what} is not installed")


@pytest.fixture(scope="session")
def chromium() -> Iterator[object]:
    """One browser for all tests."""
    program = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if program is None:
        missing("chromium")
    try:
        from playwright.sync_api import sync_playwright
    except ModuleNotFoundError:
        missing("the Python package playwright")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The accessibility checker's script."""
    path = Path(os.environ.get("AXE_CORE") or AXE)
    if not path.is_file():
        missing("the npm package axe-core")
    return path.read_text(encoding="utf-8")


class Opened:
    """A page opened from disk, with everything it asked for and everything it complained about."""

    def __init__(self, browser, path: Path, **settings: object) -> None:
        self.context = browser.new_context(**settings)
        self.page = self.context.new_page()
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.goto(path.as_uri())


@pytest.fixture
def opened(chromium, tmp_path) -> Iterator[object]:
    """Opens text as a page from disk: viewport, touch, colour scheme by keyword."""
    made: list[Opened] = []

    def open_page(text: str, width: int = 390, height: int = 844, **settings: object) -> Opened:
        path = tmp_path / f"week{len(made)}.html"
        path.write_text(text, encoding="utf-8")
        made.append(Opened(chromium, path, viewport={"width": width, "height": height}, **settings))
        return made[-1]

    yield open_page
    for item in made:
        item.context.close()
