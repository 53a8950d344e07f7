"""The page of days out in a real browser: silent, fitting, sound for everyone."""

from datetime import date

import pytest

from tests.browser import found_by
from tests.cli.runs import REPOSITORY
from tests.windows.outing.planned import plans_of
from windows.render.page.outing import plan_page
from windows.shoreline.shore import read_shore

DEMOS = ("korimako_reach", "pellaway_sound", "skerrow_strand")
LEAST_TYPE = 14.0
"""Pixels on a phone."""
SIZES = [(360, 640), (390, 844), (1280, 900)]


@pytest.fixture(scope="module")
def pages():
    shores = {name: read_shore(REPOSITORY / "demo_stations" / f"{name}.toml") for name in DEMOS}
    return {name: plan_page(plans_of(shore, date(2026, 8, 10), 14)) for name, shore in shores.items()}


@pytest.mark.parametrize("name", DEMOS)
def test_it_opens_silently_and_never_scrolls_sideways(pages, opened, name):
    shown = opened(pages[name])
    assert len(shown.requests) == 1 and shown.requests[0].startswith("file:///")
    assert shown.complaints == []
    for width, height in SIZES:
        shown.page.set_viewport_size({"width": width, "height": height})
        assert shown.page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_serious_accessibility_fault(pages, opened, axe, scheme):
    shown = opened(pages["korimako_reach"], color_scheme=scheme)
    met, faults = found_by(axe, shown.page)
    assert met > 10 and faults == []


def test_the_answer_is_on_the_first_screen_and_the_strip_can_be_read(pages, opened):
    shown = opened(pages["korimako_reach"])
    for answer in (".when", ".where", ".total"):
        box = shown.page.locator(answer).first.bounding_box()
        assert box["y"] + box["height"] < 844
    sizes = shown.page.evaluate(
        "() => [...document.querySelectorAll('svg text')].map(t => parseFloat(getComputedStyle(t).fontSize)"
        " * t.ownerSVGElement.getBoundingClientRect().width / 360)"
    )
    assert sizes and min(sizes) >= LEAST_TYPE
