"""A headless Chromium for pages; where there is none the tests skip, and under CI they fail.

It is Debian's package `chromium-headless-shell`, the same engine without a window, which takes a quarter less
work; else its `chromium`, or the program that CHROMIUM names. The accessibility checker is the npm package
axe-core, under `.browser-tests/node_modules` of the repository, or the file that AXE_CORE names.
"""

import json
import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple, NoReturn

import pytest

ROOT = Path(__file__).parents[1]
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
    """One browser for all tests of a process: a second beside it can't be started."""
    named = os.environ.get("CHROMIUM")
    program = named or shutil.which("chromium-headless-shell") or shutil.which("chromium")
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


class Found(NamedTuple):
    """What axe-core says of a page: rules that it meets, and elements that it faults for people."""

    met: int
    faults: list[str]


FIRST_OF_EACH = 'axe.run({resultTypes: ["violations"]})'
"""All rules, with every element of those broken, and no list of the elements that meet one."""
FOUND = """.then((r) => JSON.stringify([r.passes.length, r.violations.map(
    (v) => [v.id, v.impact, v.nodes.map((n) => n.html.slice(0, 120))])]))"""


def found_by(axe: str, page) -> Found:
    """All that axe-core finds on a page; past its policy, which lets no script in."""
    asked = {"expression": f"{axe}; {FIRST_OF_EACH}{FOUND}", "awaitPromise": True, "returnByValue": True}
    session = page.context.new_cdp_session(page)
    met, broken = json.loads(session.send("Runtime.evaluate", asked)["result"]["value"])
    session.detach()
    return Found(met, [f"{name} ({impact}): {item}" for name, impact, items in broken for item in items])
