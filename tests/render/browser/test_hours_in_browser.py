"""The large chart of the best session reads the water by tap, drag and keys, as the charts of days do."""

import re
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.stations import tides
from tests.render.browser.readings import READING, finger
from windows.render.chart.parts import LEFT, RIGHT
from windows.render.page.document import best_page, compare_page, page

STEP = 300.0


class Hours:
    """The chart on a page, and the water it must read."""

    def __init__(self, shown, made, zone):
        self.shown, self.zone = shown, ZoneInfo(zone)
        self.chart = shown.page.locator(".hours")
        best = made.ranking[0]
        self.report = next(report for report in made.spots if report.spot is best.spot)
        self.metres = made.head.units.metres
        self.start = float(self.chart.get_attribute("data-start"))
        self.last = int(self.chart.get_attribute("aria-valuemax"))
        self.peak = best.session.peak
        self.chart.scroll_into_view_if_needed()

    def check(self):
        text = self.chart.get_attribute("aria-valuetext")
        assert self.shown.page.locator(".hours-reading").inner_text() == text
        match = READING.fullmatch(text)
        t = self.start + STEP * int(self.chart.get_attribute("aria-valuenow"))
        local = datetime.fromtimestamp(t, self.zone)
        assert (match["clock"], match["day"]) == (f"{local:%H:%M}", f"{local:%a} {local.day} {local:%b}")
        level = tides.levels(self.report.spot.station, np.array([t]))[0] / self.metres
        assert float(match["level"]) == pytest.approx(level, abs=0.0051)
        curve = self.report.curve
        assert int(match["points"]) == pytest.approx(np.interp(t, curve.t, curve.total), abs=0.51)
        line = self.shown.page.locator(".hours .cursor").get_attribute("d")
        x = LEFT + (RIGHT - LEFT) * (t - self.start) / (STEP * self.last)
        assert float(re.match(r"M(\S+) 14V144$", line)[1]) == pytest.approx(x, abs=0.06)
        return t

    def place(self, share):
        box = self.chart.bounding_box()
        across = (LEFT + (RIGHT - LEFT) * share) / 360.0
        return box["x"] + box["width"] * across, box["y"] + box["height"] * 0.5


CASES = [
    (page, "pellaway_sound", ["railway-groyne"], "America/Chicago"),
    (best_page, "skerrow_strand", (), "Europe/London"),
    (compare_page, "korimako_reach", (), "Pacific/Auckland"),
]


@pytest.fixture(params=CASES, ids=["week", "best", "compare"])
def hours(request, forecast, opened):
    write, name, spots, zone = request.param
    made = forecast(name, spots=spots)
    return Hours(opened(write(made), has_touch=True), made, zone)


def test_it_says_nothing_until_it_is_asked(hours):
    assert not hours.shown.page.locator(".hours-reading").is_visible()
    hours.chart.focus()
    assert abs(hours.check() - hours.peak) <= STEP


def test_taps_drags_and_keys_read_the_water(hours):
    whole = STEP * hours.last
    for share in (0.0, 0.2, 0.5, 0.77, 1.0):
        hours.shown.page.touchscreen.tap(*hours.place(share))
        assert abs(hours.check() - hours.start - share * whole) <= STEP
    (x, y), (to, _) = hours.place(0.2), hours.place(0.7)
    finger(hours.shown, *((x + (to - x) * part / 8.0, y) for part in range(9)))
    at = hours.check()
    assert abs(at - hours.start - 0.7 * whole) <= STEP
    hours.chart.focus()
    for key, seconds in (("ArrowRight", 300.0), ("ArrowLeft", -300.0), ("PageDown", -3600.0)):
        hours.shown.page.keyboard.press(key)
        assert hours.check() == at + seconds
        at += seconds
    for key, end in (("Home", 0.0), ("End", whole)):
        hours.shown.page.keyboard.press(key)
        assert hours.check() == hours.start + end


def test_a_flick_over_it_changes_none(hours):
    hours.shown.page.touchscreen.tap(*hours.place(0.3))
    before = hours.check()
    x, y = hours.place(0.6)
    finger(hours.shown, *((x + part, y - 20.0 * part) for part in range(8)))
    hours.shown.page.wait_for_timeout(200)
    assert hours.check() == before


def test_over_midnight_it_names_the_day(coast, opened):
    made = coast("2026-08-01", 10, more='light = "night"')
    hours = Hours(opened(page(made), has_touch=True), made, "America/Chicago")
    hours.chart.focus()
    days = set()
    for key in ("Home", "End"):
        hours.shown.page.keyboard.press(key)
        hours.check()
        days.add(hours.chart.get_attribute("aria-valuetext")[:6])
    assert len(days) == 2
