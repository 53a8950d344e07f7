"""The page in a real browser: silent, fitting, readable by touch and by keyboard, sound for everyone."""

import datetime as dt
import re
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.stations import tides
from windows.render.page.document import page
from windows.render.words import cautions

SIZES = [(360, 640), (390, 844), (1280, 900)]
READING = re.compile(
    r"(?P<day>\w{3} \d+ \w{3}) (?P<clock>\d\d:\d\d)(?: (?P<zone_name>[A-Z]+))?: "
    r"level (?P<level>-?\d+\.\d\d) (?P<unit>ft|m), "
    r"(?P<flow>standing|(?P<way>going out|coming in) (?P<move>\d+\.\d+) (?P<move_unit>\S+)), "
    r"(?P<points>\d+) points this minute"
)


def readers(opened):
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
    for detail in shown.page.locator("details").all()[:6]:
        detail.locator("summary").click()
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


def test_letters_grow_with_the_readers_own_size(forecast, opened):
    shown = opened(page(forecast("pellaway_sound", days=1, spots=["railway-groyne"])))
    sizes = []
    for size in (16, 24):
        session = shown.context.new_cdp_session(shown.page)
        session.send("Page.enable")
        session.send("Page.setFontSizes", {"fontSizes": {"standard": size}})
        sizes.append(float(shown.page.evaluate("parseFloat(getComputedStyle(document.body).fontSize)")))
    assert sizes[1] == pytest.approx(1.5 * sizes[0])


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
    tops = [round(item.bounding_box()["y"]) for item in shown.page.locator(".reader").all()]
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


@pytest.mark.parametrize("name", ["pellaway_sound", "skerrow_strand"])
def test_first_screen_of_a_phone_holds_the_session_and_the_caution(forecast, opened, name):
    shown = opened(page(forecast(name)), 360, 740)
    for css in (".banner", ".when", ".where", ".total", ".best .why", ".caution"):
        box = shown.page.locator(css).first.bounding_box()
        assert box["y"] >= 0 and box["y"] + box["height"] <= 740, css
    assert shown.page.locator(".caution").inner_text() == cautions.SHORT


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
            x = box["x"] + box["width"] * (30.0 + 322.0 * share) / 360.0
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
    start, end = (box["x"] + box["width"] * (30.0 + 322.0 * share) / 360.0 for share in (0.2, 0.7))
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
    moves = [int(part) for part in reader.get_attribute("data-moves").split()]
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


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("case", ["one", "several", "none"])
def test_no_serious_accessibility_fault(forecast, opened, axe, scheme, case):
    made = {
        "one": lambda: forecast("pellaway_sound", spots=["railway-groyne"]),
        "several": lambda: forecast("skerrow_strand", days=3),
        "none": lambda: forecast("pellaway_sound", first="2026-08-15", days=2, spots=["railway-groyne"]),
    }[case]()
    shown = opened(page(made), color_scheme=scheme, bypass_csp=True)
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


@pytest.mark.parametrize(
    ("name", "spots"),
    [("pellaway_sound", ["railway-groyne"]), ("skerrow_strand", ["long-ledge"]), ("pellaway_sound", [])],
)
def test_paper_takes_two_sheets(forecast, opened, name, spots):
    shown = opened(page(forecast(name, spots=spots)))
    pdf = shown.page.pdf(format="A4")
    assert 1 <= len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) <= 2


def test_without_script_the_page_still_tells_everything(forecast, opened):
    made = forecast("pellaway_sound", spots=["railway-groyne"])
    shown = opened(page(made), java_script_enabled=False)
    body = shown.page.locator("body").inner_text()
    assert cautions.SHORT in body
    assert READING.search(body)
    assert shown.page.locator(".go").first.is_visible()
