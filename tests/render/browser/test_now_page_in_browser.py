"""The page of this minute in a real browser: silent, fitting, sound for everyone."""

import pytest

from tests.browser import found_by
from tests.render.test_now_page import report_of
from windows.render.page.instant import now_page


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_is_silent_fits_and_has_no_fault(opened, axe, scheme):
    text = now_page(report_of("skerrow_strand", "2026-08-11T19:10:00+00:00"))
    shown = opened(text, 360, 740, color_scheme=scheme)
    assert len(shown.requests) == 1 and shown.complaints == []
    box = shown.page.locator(".chips").nth(1).bounding_box()
    assert box["y"] + box["height"] < 740
    shown.page.evaluate("document.querySelectorAll('details').forEach((item) => { item.open = true; })")
    assert shown.page.evaluate("document.documentElement.scrollWidth") <= 360
    met, faults = found_by(axe, shown.page)
    assert met > 10 and faults == []
