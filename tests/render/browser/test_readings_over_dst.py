"""Readings of a page on days when the clock changes: 24 a day by tap, drag and keys, in a browser.

Each has the level that `levels` gives of the same instant, its clock with the zone's name, and the points of
the score curve that the page's own sessions come from.
"""

import re
from datetime import date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tests import coasts
from tests.cli.runs import rows
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.render.chart.parts import LEFT, RIGHT
from windows.render.page.document import page
from windows.shoreline.shore import read_shore

STEP = 300.0
# Zone, a place of it, a day of a change and its hours, the names before and after (IANA time zone database;
# Lord Howe's half hour has offsets for names).
CHANGES = {
    "Europe, on": ("Europe/London", 50.1, -5.2, "2026-03-29", 23.0, ("GMT", "BST")),
    "America, back": ("America/Chicago", 29.3, -90.1, "2026-11-01", 25.0, ("CDT", "CST")),
    "Lord Howe, back": ("Australia/Lord_Howe", -31.5, 159.1, "2026-04-05", 24.5, ("UTC+11:00", "UTC+10:30")),
}
READING = re.compile(
    r"\w{3} \d+ \w{3} (\d\d:\d\d) (\S+): level (-?\d+\.\d\d) m, "
    r"(standing|going out|coming in)[^,]*, (\d+) points this minute"
)


class Day:
    """The day of a change on a page, and what its file's other commands say of it."""

    def __init__(self, folder, opened, zone, latitude, longitude, first, hours, names):
        waves = [("M2", 1.2, 40.0), ("S2", 0.4, 80.0), ("K1", 0.1, 120.0)]
        path = coasts.written(
            folder,
            coasts.head(zone),
            coasts.station("pole", waves, latitude=latitude, longitude=longitude),
            coasts.spot("post", "pole", latitude, longitude, "slack_lag = 10"),
        )
        shore = read_shore(path)
        made = make_forecast(shore, shore.spots, date.fromisoformat(first), 1, Outlook(0.0))
        (self.report,) = made.spots
        (self.day,) = self.report.days
        self.zone, self.names, self.hours = ZoneInfo(zone), names, hours
        told = rows("levels", path, "--start", first, "--days", "1", "--step", "5min")
        self.levels = {
            datetime.fromisoformat(row["time_utc"].replace("Z", "+00:00")).timestamp(): float(row["height_m"])
            for row in told
        }
        self.shown = opened(page(made), has_touch=True)
        self.shown.page.evaluate(
            "document.querySelectorAll('details.day').forEach((day) => { day.open = true; })"
        )
        self.reader = self.shown.page.locator(".charts .reader").first
        self.reader.scroll_into_view_if_needed()
        self.last = int(self.reader.get_attribute("aria-valuemax"))

    def step(self):
        return int(self.reader.get_attribute("aria-valuenow"))

    def check(self):
        """The reading shown against the instant it stands at; the instant."""
        text = self.reader.get_attribute("aria-valuetext")
        assert self.shown.page.locator(".charts .reading").first.inner_text() == text
        clock, name, level, _, points = READING.fullmatch(text).groups()
        t = self.day.start + STEP * self.step()
        local = datetime.fromtimestamp(t, self.zone)
        assert clock == ("24:00" if self.step() == self.last else f"{local:%H:%M}")
        assert (
            name
            == self.names[local.utcoffset() != datetime.fromtimestamp(self.day.start, self.zone).utcoffset()]
        )
        assert t in self.levels or t == self.day.end
        if t in self.levels:
            assert float(level) == pytest.approx(self.levels[t], abs=0.0051)
        total = self.report.curve.total[np.searchsorted(self.report.curve.t, t)]
        assert int(points) == pytest.approx(total, abs=0.51)
        return t

    def place(self, share):
        """Where a share of the day lies on the screen."""
        box = self.reader.bounding_box()
        across = (LEFT + (RIGHT - LEFT) * share) / 360.0
        return box["x"] + box["width"] * across, box["y"] + box["height"] * 0.4

    def finger(self, *places):
        session = self.shown.context.new_cdp_session(self.shown.page)
        for index, (x, y) in enumerate(places):
            kind = "touchMove" if index else "touchStart"
            session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]})
        session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


@pytest.fixture(params=list(CHANGES))
def day(request, tmp_path, opened):
    return Day(tmp_path, opened, *CHANGES[request.param])


def test_readings_by_tap_drag_and_keys(day):
    assert day.day.end - day.day.start == day.hours * 3600.0 == STEP * day.last
    assert len(day.levels) >= day.last
    seen = []
    for share in np.linspace(0.0, 0.999, 8):
        day.shown.page.touchscreen.tap(*day.place(share))
        t = day.check()
        assert abs(t - day.day.start - share * (day.day.end - day.day.start)) <= 400.0
        seen.append(t)
    for share in np.linspace(0.05, 0.95, 8):
        x, y = day.place(share)
        start = x - 40.0 if share > 0.5 else x + 40.0
        day.finger(*((start + (x - start) * part / 4.0, y + part) for part in range(5)))
        t = day.check()
        assert abs(t - day.day.start - share * (day.day.end - day.day.start)) <= 400.0
        seen.append(t)
    day.reader.focus()
    day.shown.page.keyboard.press("Home")
    assert day.check() == day.day.start
    for press in range(8):
        before = day.step()
        key, step = (("PageUp", 12), ("ArrowLeft", -1), ("ArrowRight", 1))[press % 3]
        day.shown.page.keyboard.press(key)
        assert day.step() == min(max(before + step, 0), day.last)
        seen.append(day.check())
    day.shown.page.keyboard.press("End")
    assert day.check() == day.day.end
    assert len(seen) == 24 and len(set(seen)) > 16


def test_the_hour_of_the_change_is_told_apart_minute_by_minute(day):
    day.reader.focus()
    day.shown.page.keyboard.press("Home")
    clocks = []
    for _ in range(48):
        day.check()
        clocks.append(day.reader.get_attribute("aria-valuetext").split(": ")[0])
        day.shown.page.keyboard.press("ArrowRight")
    assert len(set(clocks)) == 48
    bare = {" ".join(clock.split()[:4]) for clock in clocks}
    assert 48 - len(bare) == round(max(0.0, day.hours - 24.0) * 12.0)


@pytest.mark.parametrize(("up", "day"), [(22, "Europe, on"), (40, "Lord Howe, back")], indirect=["day"])
def test_a_flick_changes_none(day, up):
    day.shown.page.touchscreen.tap(*day.place(0.4))
    before = day.reader.get_attribute("aria-valuetext")
    day.check()
    x, y = day.place(0.7)
    day.finger(*((x + 2.0 * part, y - up * part) for part in range(6)))
    day.shown.page.wait_for_timeout(300)
    assert day.reader.get_attribute("aria-valuetext") == before
    day.check()
