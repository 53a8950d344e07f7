"""The page in a real browser: silent, reached by keys alone, on time, sound for everyone."""

import datetime as dt

import pytest

from tests.browser import found_by
from tests.render.browser.readings import (
    READING,
    readers,
)
from windows.render.chart.parts import LEFT, RIGHT
from windows.render.page.document import best_page, compare_page, page
from windows.render.words import cautions


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


def test_the_clock_of_the_page(forecast, opened, tmp_path):
    made = forecast("skerrow_strand", spots=["narrows-rocks"])
    best = made.ranking[0].session
    shown = opened(page(made), alone=True)
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


@pytest.mark.parametrize(
    ("case", "scheme"),
    [
        *(("one", "light"), ("several", "light"), ("several", "dark")),
        *(("none", "dark"), ("best", "light"), ("compare", "dark")),
    ],
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
    shown = opened(text, color_scheme=scheme)
    for detail in shown.page.locator("details").all():
        detail.evaluate("item => { item.open = true; }")
    met, faults = found_by(axe, shown.page)
    assert met > 15 and faults == []


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
