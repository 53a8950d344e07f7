"""The chart's geometry against the water, the sky and the local clock."""

import datetime as dt
import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.stations import tides
from windows.astronomy import SkyEventKind
from windows.render.chart.drawing import day_chart, svg_days
from windows.render.chart.labels import Area, Place, placed, text_width
from windows.render.chart.parts import BOTTOM, LEFT, RIGHT, TOP, WIDTH, Frame, level_axis
from windows.render.words.phrases import words_of

SVG = "{http://www.w3.org/2000/svg}"
STEP_WIDTH = (RIGHT - LEFT) / 288.0
"""Units across the sheet in five minutes."""


def read(content):
    """SVG content, what a group says of its words said of each."""
    root = ET.fromstring(f'<svg xmlns="http://www.w3.org/2000/svg">{content}</svg>')
    for group in root.iter(f"{SVG}g"):
        for item in group:
            for name in ("class", "text-anchor"):
                if group.get(name) and not item.get(name):
                    item.set(name, group.get(name))
        group.attrib.pop("class", None)
    return root


def drawn(forecast, day, spot=0):
    words = words_of(forecast.head)
    report = forecast.spots[spot]
    content = day_chart(Frame(report, report.days[day], words, level_axis(report, words)))
    return read(content), report, report.days[day]


def of_class(root, css):
    return [item for item in root.iter() if item.get("class") == css]


def points_of(path):
    return np.array([float(x) for x in re.findall(r"-?\d+\.?\d*", path.get("d"))]).reshape(-1, 2)


def hours_drawn(root):
    return {
        item.text: float(item.get("x"))
        for item in of_class(root, "mark")
        if item.get("text-anchor") == "middle" and re.fullmatch(r"\d\d", item.text)
    }


@pytest.mark.parametrize(
    ("first", "hours", "elapsed"),
    [
        ("2026-08-12", 24.0, {"00": 0, "03": 3, "12": 12, "21": 21}),
        ("2027-03-14", 23.0, {"00": 0, "03": 2, "12": 11, "21": 20}),
        ("2026-11-01", 25.0, {"00": 0, "03": 4, "12": 13, "21": 22}),
    ],
)
def test_hours_stand_where_the_local_clock_shows_them(coast, first, hours, elapsed):
    root, _, day = drawn(coast(first, 1), 0)
    assert day.end - day.start == hours * 3600.0
    shown = hours_drawn(root)
    assert set(shown) == {f"{hour:02d}" for hour in range(0, 24, 3)}
    for label, after in elapsed.items():
        assert shown[label] == pytest.approx(LEFT + (RIGHT - LEFT) * after / hours, abs=0.051)
    changes = of_class(root, "change")
    assert len(changes) == (0 if hours == 24.0 else 1)
    if changes:
        at = 2.0 / hours
        assert float(re.match(r"M(\S+)", changes[0].get("d"))[1]) == pytest.approx(
            LEFT + (RIGHT - LEFT) * at, abs=0.051
        )


def test_line_is_the_level_of_the_water(forecast):
    root, report, day = drawn(forecast("skerrow_strand", spots=["harbour-wall"]), 2)
    line = points_of(of_class(root, "level")[0])
    t = day.start + (line[:, 0] - LEFT) / (RIGHT - LEFT) * (day.end - day.start)
    axis = level_axis(report, words_of(forecast("skerrow_strand").head))
    level = axis.low + (BOTTOM - line[:, 1]) / (BOTTOM - TOP) * (axis.high - axis.low)
    half_unit = 0.06 * (axis.high - axis.low) / (BOTTOM - TOP)
    rate = np.abs(tides.rates(report.spot.station, t)).max()
    slip = rate * 0.051 * (day.end - day.start) / (RIGHT - LEFT)
    assert np.abs(level - tides.levels(report.spot.station, t)).max() < half_unit + slip
    assert line[:, 1].max() < BOTTOM and line[:, 1].min() > TOP


def test_strokes_hang_while_water_goes_out(forecast):
    root, report, day = drawn(forecast("skerrow_strand", spots=["long-ledge"]), 1)
    lag = report.spot.slack_lag
    seen = 0
    for css, sign in (("outgoing", 1.0), ("incoming", -1.0)):
        (path,) = of_class(root, css)
        strokes = re.findall(r"M(\S+) (\S+)v(-?\S+?)(?=M|$)", path.get("d"))
        for x, _, length in strokes:
            t = day.start + (float(x) - LEFT) / (RIGHT - LEFT) * (day.end - day.start)
            fall = -float(tides.rates(report.spot.station, [t - lag])[0])
            assert np.sign(float(length)) == sign
            assert np.sign(fall) == sign
            assert abs(float(length)) <= 15.0
            seen += 1
    assert seen > 80


def test_diamonds_stand_where_the_flow_turns(coast):
    root, report, day = drawn(coast("2026-08-13", 1, lag=55.0), 0)
    assert report.spot.slack_lag == 55.0 * 60.0
    turns = tides.high_low_waters(report.spot.station, day.start - 86400.0, day.end).turns.t
    expected = [t + report.spot.slack_lag for t in turns if day.start <= t + report.spot.slack_lag < day.end]
    places = [float(re.match(r"M(\S+)", path.get("d"))[1]) for path in of_class(root, "slack")]
    wanted = [LEFT + (RIGHT - LEFT) * (t - day.start) / (day.end - day.start) for t in expected]
    assert len(wanted) >= 3
    assert places == pytest.approx(wanted, abs=STEP_WIDTH)


def test_turns_carry_clock_and_height(forecast):
    made = forecast("pellaway_sound", spots=["railway-groyne"])
    root, report, day = drawn(made, 2)
    zone = ZoneInfo("America/Chicago")
    turns = tides.high_low_waters(report.spot.station, day.start, day.end).turns
    expected = []
    for t, height in zip(turns.t, turns.height, strict=True):
        local = dt.datetime.fromtimestamp(round(t / 60.0) * 60.0, zone)
        expected.append(f"{local:%H:%M} {height / 0.3048:.1f}".replace("-0.0", "0.0"))
    assert [item.text for item in of_class(root, "label")] == expected
    assert len(of_class(root, "turn")) == len(expected) == 2


@pytest.mark.parametrize("first", ["2026-08-12", "2026-11-01"])
def test_bands_follow_the_twilights(coast, first):
    root, _, day = drawn(coast(first, 1, latitude=45.0), 0)

    def place(t):
        return LEFT + (RIGHT - LEFT) * (t - day.start) / (day.end - day.start)

    when = {event.kind: event.t for event in day.sky if event.body == "sun"}
    night = of_class(root, "night")
    assert len(night) == 2
    ends = float(night[0].get("x")) + float(night[0].get("width"))
    assert ends == pytest.approx(place(when[SkyEventKind.NAUTICAL_DAWN]), abs=STEP_WIDTH)
    assert float(night[1].get("x")) == pytest.approx(
        place(when[SkyEventKind.NAUTICAL_DUSK]), abs=STEP_WIDTH + 0.1
    )
    low = of_class(root, "low-light")
    assert float(low[0].get("x")) == pytest.approx(place(when[SkyEventKind.CIVIL_DAWN]), abs=STEP_WIDTH + 0.1)
    assert float(low[0].get("x")) < place(when[SkyEventKind.RISE])


def test_polar_day_has_no_night_and_polar_night_no_low_light(coast):
    polar = {"zone": "Arctic/Longyearbyen", "latitude": 78.2, "longitude": 15.6}
    summer, _, _ = drawn(coast("2026-06-21", 1, **polar), 0)
    assert not of_class(summer, "night") and not of_class(summer, "twilight")
    assert not of_class(summer, "sun")
    winter, _, _ = drawn(coast("2026-12-21", 1, **polar), 0)
    assert not of_class(winter, "low-light")
    dark = sum(float(item.get("width")) for item in of_class(winter, "night"))
    dim = sum(float(item.get("width")) for item in of_class(winter, "twilight"))
    assert dark + dim == pytest.approx(RIGHT - LEFT, abs=2 * STEP_WIDTH)
    assert not of_class(winter, "sun")


def test_window_over_midnight_is_open_at_the_edge_and_its_session_goes_on(coast):
    made = coast("2026-08-01", 14, more='light = "night"')
    report = made.spots[0]
    crossing = [
        (index, item)
        for index, day in enumerate(report.days[:-1])
        for item in day.sessions
        if item.session.start < day.end < item.session.end
    ]
    assert crossing
    index, item = crossing[0]
    (before, _, day), (after, _, following) = drawn(made, index), drawn(made, index + 1)
    last = of_class(before, "session")[-1]
    first = of_class(after, "session")[0]
    assert float(last.get("x")) + float(last.get("width")) == pytest.approx(RIGHT, abs=0.06)
    assert float(first.get("x")) == pytest.approx(LEFT, abs=0.06)
    both = float(last.get("width")) + float(first.get("width"))
    length = item.session.end - item.session.start
    assert both == pytest.approx((RIGHT - LEFT) * length / 86400.0, abs=0.2)
    assert day.end == following.start
    assert not of_class(before, "window")[-1].get("d").endswith("V146.0")
    assert of_class(before, "window")[-1].get("d").count("V") == 1


@pytest.mark.parametrize("case", [("skerrow_strand", "long-ledge"), ("pellaway_sound", "railway-groyne")])
def test_points_stand_in_the_middle_of_their_bar(forecast, case):
    made = forecast(case[0], spots=[case[1]])
    sessions = [item.session for day in made.spots[0].days for item in day.sessions]
    labelled = 0
    for index in range(7):
        root, _, day = drawn(made, index)
        expected = []
        for session in sessions:
            ends = [min(max(t, day.start), day.end) for t in (session.start, session.end)]
            places = [LEFT + (RIGHT - LEFT) * (t - day.start) / (day.end - day.start) for t in ends]
            if places[1] - places[0] >= 17.0:
                expected.append((sum(places) / 2, f"{session.points.total:.0f}"))
        labels = of_class(root, "points")
        assert [label.text for label in labels] == [points for _, points in expected]
        assert [float(label.get("x")) for label in labels] == pytest.approx(
            [x for x, _ in expected], abs=0.06
        )
        (top,) = {float(bar.get("y")) for bar in of_class(root, "session")} or {0.0}
        for label in labels:
            assert label.get("text-anchor") == "middle"
            assert top + 11.0 <= float(label.get("y")) <= top + 15.0
        labelled += len(labels)
    assert labelled > 4


@pytest.mark.parametrize(
    ("first", "zone", "words"),
    [
        ("2026-11-01", "America/Chicago", "clock back to 01:00 CST"),
        ("2027-03-14", "America/Chicago", "clock on to 03:00"),
        ("2026-04-05", "Australia/Lord_Howe", "clock back to 01:30 UTC+10:30"),
        ("2026-08-12", "America/Chicago", None),
    ],
)
def test_a_change_of_the_clock_is_said(coast, first, zone, words):
    root, _, _ = drawn(coast(first, 1, zone=zone), 0)
    texts = [item.text for item in root.iter(f"{SVG}text")]
    assert [text for text in texts if "clock" in text] == ([words] if words else [])


class TestLabels:
    FIRST = Place(50.0, 20.0, "12:34", "mark")

    def drawn(self, *labels, taken=(), left=0.0, right=360.0):
        root = read(placed(labels, taken, left, right))
        return [(item.text, float(item.get("x"))) for item in root.iter(f"{SVG}text")]

    def test_the_first_place_that_is_free(self):
        second = (Place(60.0, 20.0, "two", "mark"), Place(100.0, 20.0, "two", "mark"))
        assert self.drawn((self.FIRST,), second) == [("12:34", 50.0), ("two", 100.0)]
        assert self.drawn(second, (self.FIRST,)) == [("two", 60.0)]
        assert self.drawn((self.FIRST,), taken=[Area(70.0, 10.0, 75.0, 19.0)]) == []

    def test_words_beside_or_below_each_other_stay(self):
        wide = text_width("12:34", "mark")
        beside = Place(50.0 + wide + 2.0, 20.0, "b", "mark")
        below = Place(50.0, 34.0, "c", "mark")
        assert len(self.drawn((self.FIRST,), (beside,), (below,))) == 3

    def test_nothing_leaves_the_sheet(self):
        assert (
            self.drawn((Place(-1.0, 20.0, "a", "mark"),), (Place(359.0, 20.0, "b", "mark", "start"),)) == []
        )
        assert self.drawn((Place(359.0, 20.0, "b", "mark", "end"),)) == [("b", 359.0)]
        middle = Place(100.0, 20.0, "ab", "points", "middle").area
        assert middle.left + middle.right == 200.0


def test_shut_gates_are_hatched_where_the_level_is_too_low(coast):
    made = coast("2026-08-01", 1, more="least_level = 1.8")
    root, report, day = drawn(made, 0)
    t = np.arange(day.start, day.end, 60.0)
    shut = tides.levels(report.spot.station, t) < 1.8
    minutes = sum(float(box.get("width")) for box in of_class(root, "shut")) / (RIGHT - LEFT) * 1440.0
    assert 0.1 * 1440.0 < minutes < 0.9 * 1440.0
    assert minutes == pytest.approx(float(shut.sum()), abs=5.0 * 2 * len(of_class(root, "shut")))


def test_axis_marks_are_in_the_readers_unit(coast):
    for units, scale in (("metres", 1.0), ("feet", 0.3048)):
        made = coast("2026-08-01", 1, units=units)
        root, report, _ = drawn(made, 0)
        axis = level_axis(report, words_of(made.head))
        marks = [
            (float(item.text), float(item.get("y")))
            for item in of_class(root, "mark")
            if item.get("text-anchor") == "end"
            and float(item.get("x")) < LEFT
            and item.text not in {"m", "ft"}
        ][: len(axis.marks)]
        assert len(marks) >= 2
        for value, y in marks:
            level = axis.low + (BOTTOM - (y - 3.2)) / (BOTTOM - TOP) * (axis.high - axis.low)
            assert level == pytest.approx(value * scale, abs=0.02 * (axis.high - axis.low))
        for (lower, _), (upper, _) in pairwise(marks):
            assert upper > lower


def test_a_skipped_date_draws_nothing_and_breaks_nothing(coast):
    made = coast("2011-12-29", 3, zone="Pacific/Apia", latitude=-13.8, longitude=-171.8)
    assert made.spots[0].days[1].end == made.spots[0].days[1].start
    root, _, _ = drawn(made, 1)
    assert len(list(root)) == 0
    ET.fromstring(svg_days(made))


def test_standalone_sheet_keeps_hostile_names_as_text(coast, hostile):
    made = coast("2026-08-01", 1, names=hostile, title=hostile["script"])
    root = ET.fromstring(svg_days(made))
    assert {item.tag for item in root.iter()} <= {
        f"{SVG}{tag}" for tag in ("svg", "style", "title", "rect", "path", "g", "text", "circle")
    }
    titles = [item.text for item in of_class(root, "title")]
    assert titles[0] == hostile["script"]
    assert hostile["script"] in titles[1:] or hostile["formula"] in titles[1:]
    assert all(len(text) <= 40 for text in titles)
    assert not any("\u202e" in (item.text or "") for item in root.iter())
    joined = " ".join(item.text for item in root.iter(f"{SVG}text"))
    assert "INVENTED COAST, never use on the water" in joined
    assert "Not for navigation" in joined


def test_sheet_of_many_spots_draws_the_best_four_and_says_so(coast):
    made = coast("2026-08-01", 2, names={f"s{i}": f"Spot {i}" for i in range(7)})
    root = ET.fromstring(svg_days(made))
    assert root.get("viewBox").split()[2] == f"{4 * WIDTH:.0f}"
    joined = " ".join(item.text for item in root.iter(f"{SVG}text"))
    assert "3 more spots are not drawn" in joined
    assert len(of_class(root, "level")) == 8


def test_a_sheet_of_some_days_draws_those(forecast):
    made = forecast("pellaway_sound", spots=["railway-groyne"])
    root = ET.fromstring(svg_days(made, made.spots[0].days[2:3]))
    assert len(of_class(root, "level")) == 1
    assert "Wed 12 Aug 2026" in " ".join(item.text for item in root.iter(f"{SVG}text"))
