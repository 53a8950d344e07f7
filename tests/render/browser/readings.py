"""Readings of charts on a page in a browser, and the fingers that ask for them."""

import datetime as dt
import re
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.stations import tides

SIZES = [(360, 640), (390, 844), (1280, 900)]
READING = re.compile(
    r"(?P<day>\w{3} \d+ \w{3}) (?P<clock>\d\d:\d\d)(?: (?P<zone_name>[A-Z]+))?: "
    r"level (?P<level>-?\d+\.\d\d) (?P<unit>ft|m), "
    r"(?P<flow>standing|(?P<way>going out|coming in) (?P<move>\d+\.\d+) (?P<move_unit>\S+)), "
    r"(?P<points>\d+) points this minute"
)


def readers(opened):
    """Every chart, its day opened."""
    opened.page.evaluate("document.querySelectorAll('details.day').forEach((day) => { day.open = true; })")
    return opened.page.locator(".reader")


def reading_of(reader):
    match = READING.fullmatch(reader.get_attribute("aria-valuetext"))
    assert match, reader.get_attribute("aria-valuetext")
    assert reader.locator("xpath=..").locator(".reading").inner_text() == match[0]
    return match


def check_against_water(match, made, day, zone):
    report = made.spots[0]
    hour, minute = map(int, match["clock"].split(":"))
    assert match["day"] == f"{day.day:%a} {day.day.day} {day.day:%b}"
    date = day.day + dt.timedelta(days=hour // 24)
    local = dt.datetime.combine(date, dt.time(hour % 24, minute), ZoneInfo(zone))
    if match["zone_name"] not in {None, local.tzname()}:
        local = local.replace(fold=1)
        assert match["zone_name"] == local.tzname()
    t = np.array([local.timestamp()])
    metres = made.head.units.metres
    assert match["unit"] == made.head.units.symbol
    assert float(match["level"]) == pytest.approx(
        tides.levels(report.spot.station, t)[0] / metres, abs=0.0051
    )
    fall = -tides.rates(report.spot.station, t - report.spot.slack_lag)[0] * 3600.0 / metres
    if match["way"]:
        assert float(match["move"]) == pytest.approx(abs(fall), abs=0.0051)
        assert (match["way"] == "going out") == (fall > 0)
    else:
        assert abs(fall) <= 0.0051
    points = report.curve.total[np.searchsorted(report.curve.t, t[0])]
    assert int(match["points"]) == pytest.approx(points, abs=0.51)
    return t[0]


def finger(shown, *places):
    """A finger down, along the places, and up again, as the screen's driver sends it."""
    session = shown.context.new_cdp_session(shown.page)
    for index, (x, y) in enumerate(places):
        kind = "touchMove" if index else "touchStart"
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]})
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def middle_of(reader):
    box = reader.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
