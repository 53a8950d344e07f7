"""How a page fits phones, desks and paper: letters, colours, words and targets."""

import re
import subprocess
from itertools import product

import pytest

from tests.render.browser.readings import SIZES, readers
from windows.render.page.document import best_page, compare_page, page
from windows.render.words.brief import HAZARDS, SHORT_NOTES
from windows.render.words.phrases import words_of
from windows.render.words.reasons import sentence


@pytest.mark.parametrize("name", ["pellaway_sound", "korimako_reach", "skerrow_strand"])
def test_never_scrolls_sideways(forecast, opened, name):
    shown = opened(page(forecast(name)))
    for opening in ("false", "true"):
        shown.page.evaluate(
            f"document.querySelectorAll('details').forEach((item) => {{ item.open = {opening}; }})"
        )
        for width, height in SIZES:
            shown.page.set_viewport_size({"width": width, "height": height})
            assert shown.page.evaluate("document.documentElement.scrollWidth") <= width


BROKEN_HEADS = """() => {
  const broken = [];
  const heads = 'thead th, nav span, .when, summary, h2, .session-line, .card-line i';
  for (const head of document.querySelectorAll(heads)) {
    const walker = document.createTreeWalker(head, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      for (const word of node.data.matchAll(/[\\w:-]+/g)) {
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


@pytest.mark.parametrize("name", ["pellaway_sound", "skerrow_strand"])
def test_larger_letters_break_no_head_and_widen_nothing(forecast, opened, name):
    shown = opened(page(forecast(name)))
    assert shown.page.locator("thead th").count() > 7
    for width, size in product((360, 390), ("16px", "22px", "26px")):
        shown.page.set_viewport_size({"width": width, "height": 800})
        shown.page.evaluate(f"document.documentElement.style.fontSize = '{size}'")
        assert shown.page.evaluate(BROKEN_HEADS) == [], (width, size)
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
    shown = opened(page(made), alone=True, has_touch=True)
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


@pytest.mark.parametrize("count", [2, 3, 4, 6])
def test_charts_of_several_spots_fill_their_rows(coast, opened, count):
    made = coast("2026-08-01", 1, names={f"s{i}": f"Spot {i}" for i in range(count)})
    shown = opened(page(made), 1280, 900)
    tops = [round(item.bounding_box()["y"]) for item in readers(shown).all()]
    rows = [tops.count(top) for top in sorted(set(tops))]
    assert len(set(rows)) == 1, rows


def test_hostile_names_neither_run_nor_widen_the_page(coast, opened, hostile):
    names = {**hostile, "solid": "x" * 200}
    shown = opened(page(coast("2026-08-01", 2, names=names, title="y" * 200)))
    assert shown.complaints == []
    for width, height in SIZES:
        shown.page.set_viewport_size({"width": width, "height": height})
        assert shown.page.evaluate("document.documentElement.scrollWidth") <= width
    assert shown.page.locator("script").count() == 1
    assert shown.page.get_by_text("<script>alert(1)</script>").first.is_visible()


BAR = "document.querySelector('nav').getBoundingClientRect().top"


def foot_of(shown, css, nth=0):
    return shown.page.locator(css).nth(nth).evaluate("item => item.getBoundingClientRect().bottom + scrollY")


@pytest.mark.parametrize(
    ("name", "spot"),
    [("pellaway_sound", "railway-groyne"), ("skerrow_strand", "narrows-rocks"), ("korimako_reach", "")],
)
def test_answers_are_on_the_first_screen(forecast, opened, name, spot):
    made = forecast(name, spots=[spot] if spot else [])
    week = opened(page(made))
    others = (
        [] if spot else [(opened(best_page(made)), ".card >> nth=2"), (opened(compare_page(made)), ".beside")]
    )
    parts = (".when", ".brief", ".hero", ".strip", ".caution")
    for width, height in ((390, 844), (360, 740)):
        for shown in (week, *(other for other, _ in others)):
            shown.page.set_viewport_size({"width": width, "height": height})
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
        for shown, css in others:
            assert foot_of(shown, css) <= 1.5 * height


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


def test_dark_and_light_differ_and_paper_is_light(forecast, opened):
    text = page(forecast("pellaway_sound", days=2, spots=["railway-groyne"]))
    ground = "getComputedStyle(document.documentElement).backgroundColor"
    light, dark = opened(text, color_scheme="light"), opened(text, alone=True, color_scheme="dark")
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
