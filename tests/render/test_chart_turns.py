"""Turns lie on the drawn level line; words of the large chart cover neither its light nor each other."""

import re
import xml.etree.ElementTree as ET
from itertools import combinations, pairwise

import numpy as np
import pytest

from harmonics.records.observed import Departure
from harmonics.stations import tides
from tests import coasts
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.render.chart import parts
from windows.render.chart.drawing import day_chart
from windows.render.chart.hero import MARK_ROOM, hero
from windows.render.chart.labels import Area, Place
from windows.render.words.phrases import words_of
from windows.shoreline.shore import read_shore

SVG = "{http://www.w3.org/2000/svg}"
ABOVE = 0.4


def read(content):
    root = ET.fromstring(f'<svg xmlns="http://www.w3.org/2000/svg">{content}</svg>')
    for group in root.iter(f"{SVG}g"):
        for item in group:
            for name in ("class", "text-anchor"):
                if group.get(name):
                    item.set(name, group.get(name))
        group.attrib.pop("class", None)
    return root


def of_class(root, css):
    return [item for item in root.iter() if item.get("class") == css]


def off_the_line(root):
    """How far each dot lies from the line drawn, units."""
    (level,) = of_class(root, "level")
    line = np.array([float(x) for x in re.findall(r"-?\d+\.?\d*", level.get("d"))]).reshape(-1, 2)
    dots = of_class(root, "turn")
    assert dots
    return [
        abs(float(dot.get("cy")) - float(np.interp(float(dot.get("cx")), line[:, 0], line[:, 1])))
        for dot in dots
    ]


@pytest.fixture
def todays(tmp_path):
    """Two days of a coast whose water stands against the tide by so much, fading by half in a day."""

    def make(height, m2=1.2, units="metres"):
        waves = [("M2", m2, 40.0), ("S2", m2 / 3.0, 80.0)]
        path = coasts.written(
            tmp_path,
            coasts.head("UTC", units),
            coasts.station("pole", waves),
            coasts.spot("post", "pole", 45.0, 0.0, "slack_lag = 10"),
        )
        shore = read_shore(path)
        now = 1785542400.0  # 2026-08-01 00:00 UTC
        found = {"pole": Departure(now, height, 0.02, 0.2, 125000.0, False, 20)} if height else {}
        return make_forecast(
            shore, shore.spots, np.datetime64("2026-08-01").astype(object), 2, Outlook(now, found)
        )

    return make


def day_drawn(made, index):
    words, report = words_of(made.head), made.spots[0]
    frame = parts.Frame(report, report.days[index], words, parts.level_axis(report, words))
    return read(day_chart(frame))


@pytest.mark.parametrize("height", [ABOVE, -ABOVE, 0.0])
def test_the_dots_of_a_day_lie_on_its_line(todays, height):
    made = todays(height)
    assert max(off_the_line(day_drawn(made, 0)) + off_the_line(day_drawn(made, 1))) < 0.35


@pytest.mark.parametrize("height", [ABOVE, -ABOVE, 0.0])
def test_the_dots_of_the_best_session_lie_on_its_line(todays, height):
    made = todays(height)
    for item in made.ranking:
        assert max(off_the_line(read(hero(item, made.spots[0], words_of(made.head))))) < 0.35


def test_the_numbers_say_the_level_that_is_drawn(todays):
    made = todays(ABOVE)
    report, day = made.spots[0], made.spots[0].days[0]
    turns = tides.high_low_waters(report.spot.station, day.start, day.end).turns
    faded = ABOVE * np.exp(-(turns.t - made.made_at) / 125000.0)
    said = [float(item.text.split()[1]) for item in of_class(day_drawn(made, 0), "label") if " " in item.text]
    assert len(said) >= 3
    assert said == pytest.approx((turns.height + faded)[: len(said)], abs=0.0051)
    assert said != pytest.approx(turns.height[: len(said)], abs=0.1)


def marks_of(root):
    """Numbers left of the large chart and where they stand."""
    return [
        (item.text, float(item.get("y")))
        for item in of_class(root, "mark")
        if float(item.get("x")) == parts.LEFT - 5.0
    ]


@pytest.mark.parametrize("units", ["metres", "feet"])
@pytest.mark.parametrize("m2", [0.2, 0.3, 0.45, 0.6, 0.85, 1.2, 2.0, 4.5])
def test_numbers_of_the_axis_stand_apart(todays, m2, units):
    made = todays(0.0, m2, units)
    report = made.spots[0]
    marks = marks_of(read(hero(made.ranking[0], report, words_of(made.head))))
    for (_, one), (_, other) in combinations(marks, 2):
        assert abs(one - other) >= MARK_ROOM - 0.11
    levels = [float(text) for text, y in marks if 30.0 < y < 90.0]
    assert levels and len(set(levels)) == len(levels)
    steps = {round(b - a, 6) for a, b in pairwise(levels)}
    assert len(steps) <= 1


def areas_of(root):
    return [
        Place(
            float(item.get("x")), float(item.get("y")), item.text, "label", item.get("text-anchor", "start")
        ).area
        for item in of_class(root, "label")
    ]


@pytest.mark.parametrize("name", ["pellaway_sound", "korimako_reach", "skerrow_strand"])
def test_words_of_the_large_chart_cover_neither_light_nor_each_other(forecast, name):
    made = forecast(name, days=14)
    words = words_of(made.head)
    light = Area(parts.LEFT, parts.RIBBON_TOP, parts.RIGHT + 8.0, parts.RIBBON_TOP + parts.RIBBON)
    said = 0
    for item in made.ranking:
        report = next(report for report in made.spots if report.spot is item.spot)
        root = read(hero(item, report, words))
        areas = areas_of(root)
        said += len(areas)
        assert not any(area.meets(light) for area in areas)
        assert not any(one.meets(other) for one, other in combinations(areas, 2))
        turns = [item.text for item in of_class(root, "label") if item.text.startswith(("high", "low"))]
        assert len(turns) == len(of_class(root, "turn"))
    assert said > len(made.ranking)


def test_water_far_above_the_tide_keeps_its_words_off_the_light(todays):
    made = todays(ABOVE, m2=0.3)
    words = words_of(made.head)
    ribbon = Area(0.0, 0.0, 360.0, parts.RIBBON_TOP + parts.RIBBON)
    for item in made.ranking:
        assert not any(area.meets(ribbon) for area in areas_of(read(hero(item, made.spots[0], words))))
