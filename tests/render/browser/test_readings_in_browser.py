"""Reading the water of a page by touch, pointer and keys."""

import datetime as dt
import re
import xml.etree.ElementTree as ET
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tests.render.browser.readings import (
    READING,
    check_against_water,
    finger,
    middle_of,
    readers,
    reading_of,
)
from tests.render.curves import numbers
from windows.render.chart.drawing import day_chart
from windows.render.chart.parts import LEFT, RIGHT, SCORE_BOTTOM, SCORE_TOP, Frame, level_axis
from windows.render.page.document import page
from windows.render.words.phrases import words_of


def test_a_folded_day_is_drawn_as_the_file_would_draw_it(forecast, opened):
    made = forecast("skerrow_strand", spots=["narrows-rocks"])
    shown = opened(page(made))
    readers(shown)
    report, words = made.spots[0], words_of(made.head)
    axis = level_axis(report, words)
    for index in (3, 5, 6):
        day = report.days[index]
        true = ET.fromstring(f"<svg>{day_chart(Frame(report, day, words, axis))}</svg>")
        for css in ("level", "fished"):
            drawn = shown.page.locator(".reader").nth(index).locator(f".{css}").get_attribute("d")
            wanted = "".join(item.get("d") for item in true.iter() if item.get("class") == css)
            assert re.sub(r"[-.\d]+", "", drawn) == re.sub(r"[-.\d]+", "", wanted), css
            told = [[float(part) for part in re.findall(r"-?[.\d]+", text)] for text in (drawn, wanted)]
            assert told[0] == pytest.approx(told[1], abs=0.75), css
        for css in ("outgoing", "incoming"):
            drawn = shown.page.locator(".reader").nth(index).locator(f".{css}").get_attribute("d")
            (wanted,) = [item.get("d") for item in true.iter() if item.get("class") == css]
            ours, theirs = strokes(drawn), strokes(wanted)
            assert len(theirs) > 20
            for x in {*ours, *theirs}:
                assert ours.get(x, 0.0) == pytest.approx(theirs.get(x, 0.0), abs=1.2)
        drawn = shown.page.locator(".reader").nth(index).locator(".score").get_attribute("d")
        x, y = np.array([float(part) for part in re.findall(r"[.\d]+", drawn)]).reshape(-1, 2).T
        steps = LEFT + (RIGHT - LEFT) * np.arange(289) / 288.0
        points = np.interp(x, steps, report.curve.total[frame_of(report, day)])
        inner = y < SCORE_BOTTOM
        expected = SCORE_BOTTOM - (SCORE_BOTTOM - SCORE_TOP) * points / 100.0
        assert inner.sum() > 50 and np.abs(y - expected)[inner].max() < 0.5


def strokes(path):
    """Lengths of a day's strokes by their quarter hour."""
    quarter = (RIGHT - LEFT) / 96.0
    found = re.findall(r"M([.\d]+) [-.\d]+v(-?[.\d]+)", path)
    return {round((float(x) - LEFT) / quarter): float(size) for x, size in found}


def frame_of(report, day):
    return slice(*np.searchsorted(report.curve.t, [day.start, day.end + 1.0]))


@pytest.mark.parametrize(
    ("name", "spot", "zone"),
    [
        ("pellaway_sound", "railway-groyne", "America/Chicago"),
        ("skerrow_strand", "long-ledge", "Europe/London"),
    ],
)
def test_touch_shows_the_water_of_that_minute(forecast, opened, name, spot, zone):
    made = forecast(name, spots=[spot])
    shown = opened(page(made), has_touch=True)
    for index in (0, 2, 6):
        reader, day = readers(shown).nth(index), made.spots[0].days[index]
        reader.scroll_into_view_if_needed()
        box = reader.bounding_box()
        for share in (0.0, 0.21, 0.5, 0.77, 0.999):
            x = box["x"] + box["width"] * (LEFT + (RIGHT - LEFT) * share) / 360.0
            shown.page.touchscreen.tap(x, box["y"] + box["height"] * 0.4)
            t = check_against_water(reading_of(reader), made, day, zone)
            assert abs(t - (day.start + share * (day.end - day.start))) <= 400.0


def test_pointer_reads_without_a_press(forecast, opened):
    made = forecast("skerrow_strand", days=1, spots=["long-ledge"])
    shown = opened(page(made), 1280, 900)
    reader = readers(shown).first
    reader.scroll_into_view_if_needed()
    box = reader.bounding_box()
    seen = set()
    for share in (0.2, 0.4, 0.6, 0.8):
        shown.page.mouse.move(box["x"] + box["width"] * share, box["y"] + box["height"] / 2)
        seen.add(check_against_water(reading_of(reader), made, made.spots[0].days[0], "Europe/London"))
    assert len(seen) == 4


@pytest.mark.parametrize(("across", "up"), [(0, 20), (3, 15), (-4, 40)])
def test_a_scroll_over_a_chart_leaves_its_reading(forecast, opened, across, up):
    shown = opened(page(forecast("skerrow_strand", spots=["long-ledge"])), has_touch=True)
    reader = readers(shown).nth(1)
    reader.scroll_into_view_if_needed()
    x, y = middle_of(reader)
    x += 60
    before, scrolled = reading_of(reader)[0], shown.page.evaluate("scrollY")
    finger(shown, *((x + across * i, y - up * i) for i in range(8)))
    shown.page.wait_for_function(f"scrollY > {scrolled} + 40")
    assert reading_of(reader)[0] == before


def test_a_wheel_over_a_chart_leaves_its_reading(forecast, opened):
    shown = opened(page(forecast("skerrow_strand", spots=["long-ledge"])), 1280, 900)
    reader = readers(shown).nth(1)
    reader.scroll_into_view_if_needed()
    x, y = middle_of(reader)
    shown.page.mouse.move(x + 50, y)
    before = [reading_of(item)[0] for item in readers(shown).all()]
    for _ in range(6):
        shown.page.mouse.wheel(0, 120)
        shown.page.wait_for_timeout(120)
    assert shown.page.evaluate("scrollY") > 300
    assert [reading_of(item)[0] for item in readers(shown).all()] == before
    # browsers with a screen then say that the pointer moved to where it already is
    move = """(item, [x, y]) => { for (let i = 0; i < 2; i += 1) { item.dispatchEvent(new PointerEvent(
        'pointermove', {bubbles: true, pointerType: 'mouse', screenX: x, screenY: y, clientX: x, clientY: y}
    )); } }"""
    where = [x - 50, y]
    readers(shown).nth(0).evaluate(move, where)
    readers(shown).nth(3).evaluate(move, where)
    after = [reading_of(item)[0] for item in readers(shown).all()]
    assert after[0] != before[0] and after[1:] == before[1:]


def test_a_sideways_drag_reads_along_the_water(forecast, opened):
    made = forecast("skerrow_strand", spots=["long-ledge"])
    shown = opened(page(made), has_touch=True)
    reader = readers(shown).nth(1)
    reader.scroll_into_view_if_needed()
    box = reader.bounding_box()
    y = box["y"] + box["height"] / 2
    start, end = (box["x"] + box["width"] * (LEFT + (RIGHT - LEFT) * share) / 360.0 for share in (0.2, 0.7))
    finger(shown, *((start + (end - start) * i / 10, y + i) for i in range(11)))
    t = check_against_water(reading_of(reader), made, made.spots[0].days[1], "Europe/London")
    assert t == pytest.approx(made.spots[0].days[1].start + 0.7 * 86400.0, abs=400.0)


def test_a_repeated_hour_is_told_apart(coast, opened):
    made = coast("2026-11-01", 2, lag=15.0)
    shown = opened(page(made))
    reader, day = readers(shown).first, made.spots[0].days[0]
    reader.focus()
    shown.page.keyboard.press("Home")
    seen = []
    for _ in range(3):
        match = reading_of(reader)
        assert check_against_water(match, made, day, "America/Chicago") == day.start + 3600.0 * len(seen)
        seen.append(f"{match['clock']} {match['zone_name']}")
        shown.page.keyboard.press("PageUp")
    assert seen == ["00:00 CDT", "01:00 CDT", "01:00 CST"]
    assert reading_of(readers(shown).nth(1))["zone_name"] is None


@pytest.mark.parametrize("first", ["2026-11-01", "2027-03-14"])
def test_readings_keep_the_local_clock_over_a_change(coast, opened, first):
    made = coast(first, 1, lag=15.0)
    shown = opened(page(made))
    reader, day = readers(shown).first, made.spots[0].days[0]
    reader.focus()
    shown.page.keyboard.press("Home")
    assert reading_of(reader)["clock"] == "00:00"
    shown.page.keyboard.press("End")
    assert reading_of(reader)["clock"] == "24:00"
    for _ in range(5):
        shown.page.keyboard.press("PageDown")
        t = check_against_water(reading_of(reader), made, day, "America/Chicago")
    assert t == day.end - 5 * 3600.0


def test_standing_water_is_read_as_standing(forecast, opened):
    made = forecast("pellaway_sound", days=1, spots=["marsh-drain"])
    shown = opened(page(made))
    reader = readers(shown).first
    moves = numbers(reader.get_attribute("data-moves")).tolist()
    assert 0 in moves
    reader.focus()
    shown.page.keyboard.press("Home")
    for _ in range(moves.index(0)):
        shown.page.keyboard.press("ArrowRight")
    assert reading_of(reader)["flow"] == "standing"


def test_keys_move_the_reading(forecast, opened):
    made = forecast("pellaway_sound", days=1, spots=["railway-groyne"])
    shown = opened(page(made))
    reader = readers(shown).first
    reader.focus()
    at = int(reader.get_attribute("aria-valuenow"))
    for key, step in (
        ("ArrowRight", 1),
        ("ArrowUp", 1),
        ("ArrowLeft", -1),
        ("ArrowDown", -1),
        ("PageUp", 12),
    ):
        shown.page.keyboard.press(key)
        at += step
        assert int(reader.get_attribute("aria-valuenow")) == at
        check_against_water(reading_of(reader), made, made.spots[0].days[0], "America/Chicago")
    shown.page.keyboard.press("Home")
    shown.page.keyboard.press("ArrowLeft")
    assert reader.get_attribute("aria-valuenow") == "0"


def test_a_windows_button_reads_its_peak(forecast, opened):
    made = forecast("skerrow_strand", spots=["long-ledge"])
    shown = opened(page(made))
    readers(shown)
    zone = ZoneInfo("Europe/London")
    days = made.spots[0].days
    sessions = [item.session for day in days for item in day.sessions]
    for button, session in zip(shown.page.locator(".go").all(), sessions, strict=True):
        button.focus()
        shown.page.keyboard.press("Enter")
        said = READING.fullmatch(shown.page.evaluate("document.activeElement.getAttribute('aria-valuetext')"))
        beyond = session.peak >= days[-1].end
        peak = dt.datetime.fromtimestamp(session.peak, zone)
        assert said["clock"] == ("24:00" if beyond else f"{peak:%H:%M}")
        if not beyond:
            assert said["day"] == f"{peak:%a} {peak.day} {peak:%b}"


def test_a_session_that_peaks_after_midnight_reads_the_water_of_its_own_day(forecast, opened):
    made = forecast("skerrow_strand", first="2027-03-25", spots=["narrows-rocks"])
    shown = opened(page(made), has_touch=True)
    readers(shown)
    days = made.spots[0].days
    sessions = [item.session for day in days for item in day.sessions]
    late = 0
    for button, session in zip(shown.page.locator(".go").all(), sessions, strict=True):
        button.tap()
        (held,) = [day for day in days if day.start <= session.peak < day.end] or days[-1:]
        listed = next(day for day in days if any(item.session is session for item in day.sessions))
        reader = readers(shown).nth(days.index(held))
        match = reading_of(reader)
        late += listed is not held
        local = dt.datetime.fromtimestamp(session.peak, ZoneInfo("Europe/London"))
        if session.peak < days[-1].end:
            assert (match["clock"], match["day"]) == (
                f"{local:%H:%M}",
                f"{local:%a} {local.day} {local:%b}",
            )
            step = int(reader.get_attribute("aria-valuenow"))
            assert held.start + 300.0 * step == session.peak
        assert shown.page.evaluate("document.activeElement.getAttribute('aria-valuetext')") == match[0]
    assert late
