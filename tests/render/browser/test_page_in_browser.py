"""The page in a real browser: silent, fitting, readable by touch and by keyboard, sound for everyone."""

import datetime as dt
import re
import subprocess
import xml.etree.ElementTree as ET
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.stations import tides
from tests.render.curves import numbers
from windows.render.chart.drawing import day_chart
from windows.render.chart.parts import LEFT, RIGHT, SCORE_BOTTOM, SCORE_TOP, Frame, level_axis
from windows.render.page.document import best_page, compare_page, page
from windows.render.words import cautions
from windows.render.words.brief import HAZARDS, SHORT_NOTES
from windows.render.words.phrases import words_of
from windows.render.words.reasons import sentence

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


@pytest.mark.parametrize("name", ["pellaway_sound", "korimako_reach"])
def test_opens_from_disk_without_a_request_or_a_complaint(forecast, opened, name):
    shown = opened(page(forecast(name)))
    readers(shown).first.focus()
    shown.page.keyboard.press("ArrowRight")
    assert len(shown.requests) == 1 and shown.requests[0].startswith("file:///")
    assert shown.complaints == []


def test_the_policy_stops_what_does_not_belong(forecast, opened):
    text = page(forecast("pellaway_sound", days=1, spots=["grass-cut"]))
    extra = "<script>document.title='taken'</script><img src='https://ebblight.invalid/x.png'>"
    shown = opened(text.replace("<header>", extra + "<header>"))
    assert shown.page.title() != "taken"
    assert any("Content Security Policy" in text for text in shown.complaints)
    assert not shown.page.evaluate("document.images[0].naturalWidth")


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("name", ["pellaway_sound", "korimako_reach", "skerrow_strand"])
def test_never_scrolls_sideways(forecast, opened, name, width, height):
    shown = opened(page(forecast(name)), width, height)
    assert shown.page.evaluate("document.documentElement.scrollWidth") <= width
    shown.page.evaluate("document.querySelectorAll('details').forEach((item) => { item.open = true; })")
    assert shown.page.evaluate("document.documentElement.scrollWidth") <= width


BROKEN_HEADS = """() => {
  const broken = [];
  for (const head of document.querySelectorAll('thead th, nav span, .when, summary, h2, .session-line')) {
    const walker = document.createTreeWalker(head, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      for (const word of node.data.matchAll(/[\\w:]+/g)) {
        const range = document.createRange();
        range.setStart(node, word.index);
        range.setEnd(node, word.index + word[0].length);
        const lines = new Set([...range.getClientRects()].map((box) => Math.round(box.top)));
        if (lines.size > 1) { broken.push(word[0]); }
      }
    }
  }
  return broken;
}"""


@pytest.mark.parametrize("size", ["16px", "22px", "26px"])
@pytest.mark.parametrize("width", [360, 390])
@pytest.mark.parametrize("name", ["pellaway_sound", "skerrow_strand"])
def test_larger_letters_break_no_head_and_widen_nothing(forecast, opened, name, width, size):
    shown = opened(page(forecast(name)), width, 800)
    shown.page.evaluate(f"document.documentElement.style.fontSize = '{size}'")
    assert shown.page.locator("thead th").count() > 7
    assert shown.page.evaluate(BROKEN_HEADS) == []
    assert shown.page.evaluate("document.documentElement.scrollWidth") <= width


COVERED_WORDS = """() => {
  const covered = [];
  for (const chart of document.querySelectorAll('.reader svg')) {
    const areas = [...chart.querySelectorAll('text')].map((item) => {
      const em = parseFloat(getComputedStyle(item).fontSize), box = item.getBBox();
      const y = Number(item.getAttribute('y'));
      return { words: item.textContent, left: box.x, right: box.x + box.width, top: y - 0.74 * em, foot: y };
    });
    areas.forEach((one, i) => areas.slice(i + 1).forEach((other) => {
      const across = one.left < other.right && other.left < one.right;
      if (across && one.top < other.foot && other.top < one.foot) {
        covered.push(one.words + ' / ' + other.words);
      }
    }));
  }
  return covered;
}"""


@pytest.mark.parametrize(
    "case", ["pellaway_sound", "skerrow_strand", "korimako_reach", "back", "on", "twice"]
)
def test_no_word_of_a_chart_covers_another(forecast, coast, opened, case):
    made = {
        "back": lambda: coast("2026-11-01", 1, s2=1.1),
        "on": lambda: coast("2027-03-14", 1, m2=0.3),
        "twice": lambda: coast("2026-11-01", 1, zone="America/Havana"),  # its clock shows 00:00 twice
    }.get(case, lambda: forecast(case, days=14))()
    shown = opened(page(made))
    assert shown.page.locator(".reader svg text").count() > 15
    assert shown.page.evaluate(COVERED_WORDS) == []


def test_letters_grow_with_the_readers_own_size_those_of_charts_too(forecast, opened):
    made = forecast("pellaway_sound", days=1, spots=["railway-groyne"])
    shown = opened(page(made), has_touch=True)
    session = shown.context.new_cdp_session(shown.page)
    session.send("Page.enable")
    readers(shown)
    sizes = []
    for size in (16, 24):
        session.send("Page.setFontSizes", {"fontSizes": {"standard": size}})
        body = shown.page.evaluate("parseFloat(getComputedStyle(document.body).fontSize)")
        wide = [
            shown.page.evaluate(f"document.querySelector('{css}').getBoundingClientRect().width")
            for css in (".hero", ".strip", ".reader svg")
        ]
        sizes.append([float(body), *wide])
        assert shown.page.evaluate("document.documentElement.scrollWidth") <= 390
    assert sizes[1][0] == pytest.approx(1.5 * sizes[0][0])
    assert all(large > 1.3 * small for small, large in zip(*sizes, strict=True))
    reader = readers(shown).first
    reader.focus()
    for key in ("Home", "End"):
        shown.page.keyboard.press(key)
        line, box = (shown.page.locator(css).first.bounding_box() for css in (".reader .cursor", ".reader"))
        assert box["x"] <= line["x"] <= box["x"] + box["width"]
    reader.scroll_into_view_if_needed()
    box = reader.bounding_box()
    shown.page.touchscreen.tap(box["x"] + box["width"] * 0.5, box["y"] + box["height"] * 0.4)
    line = shown.page.locator(".reader .cursor").first.bounding_box()
    assert line["x"] == pytest.approx(box["x"] + box["width"] * 0.5, abs=4.0)


def test_the_first_tab_stop_skips_to_the_days(forecast, opened):
    shown = opened(page(forecast("pellaway_sound")))
    shown.page.keyboard.press("Tab")
    skip = shown.page.locator(".skip")
    assert shown.page.evaluate("document.activeElement.className") == "skip"
    box = skip.bounding_box()
    assert box["x"] >= 0 and box["y"] >= 0 and box["height"] >= 40
    shown.page.keyboard.press("Enter")
    assert shown.page.locator("#days").bounding_box()["y"] < 100
    shown.page.keyboard.press("Tab")
    assert shown.page.evaluate("document.activeElement.closest('.days') !== null")


@pytest.mark.parametrize("count", [2, 3, 4, 6])
def test_charts_of_several_spots_fill_their_rows(coast, opened, count):
    made = coast("2026-08-01", 1, names={f"s{i}": f"Spot {i}" for i in range(count)})
    shown = opened(page(made), 1280, 900)
    tops = [round(item.bounding_box()["y"]) for item in readers(shown).all()]
    rows = [tops.count(top) for top in sorted(set(tops))]
    assert len(set(rows)) == 1, rows


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_hostile_names_neither_run_nor_widen_the_page(coast, opened, hostile, width, height):
    names = {**hostile, "solid": "x" * 200}
    shown = opened(page(coast("2026-08-01", 2, names=names, title="y" * 200)), width, height)
    assert shown.complaints == []
    assert shown.page.evaluate("document.documentElement.scrollWidth") <= width
    assert shown.page.locator("script").count() == 1
    assert shown.page.get_by_text("<script>alert(1)</script>").first.is_visible()


BAR = "document.querySelector('nav').getBoundingClientRect().top"


def foot_of(shown, css, nth=0):
    return shown.page.locator(css).nth(nth).evaluate("item => item.getBoundingClientRect().bottom + scrollY")


@pytest.mark.parametrize(("width", "height"), [(390, 844), (360, 740)])
@pytest.mark.parametrize(
    ("name", "spot"),
    [("pellaway_sound", "railway-groyne"), ("skerrow_strand", "narrows-rocks"), ("korimako_reach", "")],
)
def test_answers_are_on_the_first_screen(forecast, opened, name, spot, width, height):
    made = forecast(name, spots=[spot] if spot else [])
    week = opened(page(made), width, height)
    parts = (".when", ".brief", ".hero", ".strip")
    if spot:
        assert [part for part in parts if foot_of(week, part) > week.page.evaluate(BAR)] == []
    assert foot_of(week, ".when") < height / 2
    largest = week.page.evaluate(
        "Math.max(...[...document.querySelectorAll('body *')].map((item) =>"
        " parseFloat(getComputedStyle(item).fontSize)))"
    )
    assert largest == week.page.evaluate(
        "parseFloat(getComputedStyle(document.querySelector('.when')).fontSize)"
    )
    if not spot:
        for text, css in ((best_page(made), ".card >> nth=2"), (compare_page(made), ".beside")):
            assert foot_of(opened(text, width, height), css) <= 1.5 * height


@pytest.mark.parametrize("name", ["pellaway_sound", "skerrow_strand"])
def test_letters_of_charts_are_large_and_targets_wide(forecast, opened, name):
    shown = opened(page(forecast(name)))
    readers(shown)
    shown_size = (
        "(item) => parseFloat(getComputedStyle(item).fontSize)"
        " * item.ownerSVGElement.getBoundingClientRect().width / 360"
    )
    words = "[...document.querySelectorAll('.hero text, .strip text, .reader text')]"
    smallest = shown.page.evaluate(f"Math.min(...{words}.map({shown_size}))")
    assert smallest >= 14.0
    low = "[...document.querySelectorAll('nav a, .go, .day > summary, .modes label')].map((item) =>"
    assert shown.page.evaluate(f"Math.min(...{low} item.getBoundingClientRect().height))") >= 48.0


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


def test_the_clock_of_the_page(forecast, opened, tmp_path):
    made = forecast("skerrow_strand", spots=["narrows-rocks"])
    best = made.ranking[0].session
    shown = opened(page(made))
    for ahead, told in ((5 * 3600.0, "in 5 h"), (600.0, "in 10 min"), (-60.0, "now"), (-86400.0, "over")):
        at = best.start - ahead
        shown.page.clock.set_fixed_time(dt.datetime.fromtimestamp(at, dt.UTC))
        shown.page.reload()
        assert shown.page.locator(".until").inner_text().strip(" \u00b7") == told
        gone = sum(item.session.end <= at for item in made.ranking)
        assert shown.page.locator(".session.past").count() == gone
        day = next(i for i, day in enumerate(made.spots[0].days) if day.start <= at < day.end)
        report = made.spots[0].days[day]
        x = LEFT + (RIGHT - LEFT) * (at - report.start) / (report.end - report.start)
        line = shown.page.locator(".strip .now").get_attribute("d")
        assert float(line[1:].split()[0]) == pytest.approx(x, abs=0.06)
        assert float(line.split(" ")[1].split("v")[0]) == 34 * day
    assert "old" in shown.page.locator(".age").inner_text()


def test_switches_change_the_colours_and_the_letters_without_script(forecast, opened):
    made = forecast("skerrow_strand", days=2, spots=["narrows-rocks"])
    shown = opened(page(made), java_script_enabled=False)
    style = "getComputedStyle(document.documentElement)"
    assert shown.page.evaluate(f"{style}.backgroundColor") == "rgb(252, 251, 247)"
    size = shown.page.evaluate(f"parseFloat({style}.fontSize)")
    shown.page.get_by_label("in glare").check()
    assert shown.page.evaluate(f"{style}.backgroundColor") == "rgb(255, 255, 255)"
    shown.page.get_by_label("red at night").check()
    assert shown.page.evaluate(f"{style}.backgroundColor") == "rgb(0, 0, 0)"
    shown.page.get_by_label("larger").check()
    assert shown.page.evaluate(f"parseFloat({style}.fontSize)") > 1.3 * size
    assert shown.page.evaluate("document.documentElement.scrollWidth") <= 390


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


def test_the_keyboard_alone_reaches_every_window(forecast, opened):
    made = forecast("pellaway_sound", spots=["railway-groyne", "oyster-dock"])
    shown = opened(page(made), 1280, 900)
    readers(shown)
    wanted = shown.page.locator(".go").count()
    assert wanted == len(made.ranking) > 4
    reached, readers_reached = [], 0
    for _ in range(400):
        shown.page.keyboard.press("Tab")
        kind = shown.page.evaluate("document.activeElement.className")
        if kind == "go":
            label = shown.page.evaluate(
                "document.activeElement.dataset.chart + ' ' + document.activeElement.dataset.step"
            )
            if label in reached:
                break
            reached.append(label)
        readers_reached += kind == "reader"
        if shown.page.evaluate("document.activeElement === document.body"):
            break
    assert len(reached) == wanted
    assert readers_reached == 14


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


@pytest.mark.parametrize(
    ("case", "scheme"),
    [(case, scheme) for case in ("one", "several", "none") for scheme in ("light", "dark")]
    + [("best", "light"), ("compare", "dark")],
)
def test_no_serious_accessibility_fault(forecast, opened, axe, scheme, case):
    made = {
        "one": lambda: forecast("pellaway_sound", days=2, spots=["railway-groyne"]),
        "several": lambda: forecast("skerrow_strand", days=1),
        "none": lambda: forecast("pellaway_sound", first="2026-08-15", days=2, spots=["railway-groyne"]),
        "best": lambda: forecast("skerrow_strand", days=1),
        "compare": lambda: forecast("pellaway_sound", days=1),
    }[case]()
    text = {"best": best_page, "compare": compare_page}.get(case, page)(made)
    shown = opened(text, color_scheme=scheme, bypass_csp=True)
    for detail in shown.page.locator("details").all():
        detail.evaluate("item => { item.open = true; }")
    shown.page.evaluate(axe)
    found = shown.page.evaluate("axe.run()")
    assert len(found["passes"]) > 15
    faults = [
        f"{fault['id']}: {node['html'][:120]}"
        for fault in found["violations"]
        if fault["impact"] in {"serious", "critical", "moderate"}
        for node in fault["nodes"]
    ]
    assert faults == []


def test_dark_and_light_differ_and_paper_is_light(forecast, opened):
    text = page(forecast("pellaway_sound", days=2, spots=["railway-groyne"]))
    ground = "getComputedStyle(document.documentElement).backgroundColor"
    light, dark = opened(text, color_scheme="light"), opened(text, color_scheme="dark")
    assert light.page.evaluate(ground) == "rgb(252, 251, 247)"
    assert dark.page.evaluate(ground) == "rgb(23, 22, 19)"
    dark.page.emulate_media(media="print")
    assert dark.page.evaluate(ground) == "rgb(252, 251, 247)"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_week_is_one_sheet_of_paper(forecast, opened, tmp_path, paper):
    for name, spot in (("pellaway_sound", "railway-groyne"), ("skerrow_strand", "narrows-rocks")):
        made = forecast(name, spots=[spot])
        pdf = opened(page(made)).page.pdf(format=paper)
        assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) == 1
        (tmp_path / "week.pdf").write_bytes(pdf)
        told = subprocess.run(
            ["pdftotext", "-raw", str(tmp_path / "week.pdf"), "-"], capture_output=True, check=True
        ).stdout.decode()
        said = " ".join(told.split())
        words = words_of(made.head)
        for part in (made.head.zone.key, f"above {made.spots[0].spot.station.datum}", "Reading a chart"):
            assert part in said
        assert "Not for navigation" in said and "Wear a lifejacket" in said
        for day in made.spots[0].days:
            for turn in day.turns:
                assert words.clock(turn.t) in said
            for item in day.sessions:
                assert words.clock(item.session.start) in said
        hazards = [
            sentence(SHORT_NOTES[note]) for item in made.ranking for note in item.notes if note in HAZARDS
        ]
        assert len(hazards) > 3
        assert [said.count(text) for text in set(hazards)] == [hazards.count(text) for text in set(hazards)]


def test_without_script_the_page_still_tells_everything(forecast, opened):
    made = forecast("pellaway_sound", spots=["railway-groyne"])
    shown = opened(page(made), java_script_enabled=False)
    shown.page.locator(".day > summary").nth(2).click()
    body = shown.page.locator("body").inner_text()
    assert cautions.SHORT in body
    assert READING.search(body)
    assert shown.page.locator(".go >> visible=true").first.is_visible()
    levels = [item.get_attribute("d") for item in shown.page.locator(".reader .level").all()]
    assert [bool(level) for level in levels] == [True] * 3 + [False] * 4
