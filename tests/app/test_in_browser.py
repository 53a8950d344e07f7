"""From an empty folder to a week, a plan and a logged trip in a real browser, without typing a command."""

import re
from datetime import date

import pytest

from tests.app.asking import AT
from tests.app.test_tables import pasted
from tests.browser import found_by
from windows.log.keeping import kept_trips

SIZES = {"phone": (390, 844), "desk": (1280, 900)}


@pytest.fixture(params=SIZES)
def page(request, chromium):
    """A page that keeps what it asked for and what it complained about."""
    width, height = SIZES[request.param]
    context = chromium.new_context(viewport={"width": width, "height": height}, accept_downloads=True)
    opened = context.new_page()
    opened.requests, opened.complaints = [], []
    opened.on("request", lambda asked: opened.requests.append(asked.url))
    opened.on("console", lambda message: opened.complaints.append(message.text))
    opened.on("pageerror", lambda error: opened.complaints.append(str(error)))
    yield opened
    context.close()


def go(page, name: str) -> None:
    """Along one of the ways at the top."""
    page.get_by_role("navigation", name="Pages").get_by_role("link", name=name, exact=True).click()


@pytest.mark.parametrize("page", ["phone"], indirect=True)
def test_from_an_empty_folder_to_a_logged_trip(page, serving, tmp_path, data_home):
    folder = tmp_path / "shore"
    folder.mkdir()
    site = serving(folder)
    page.goto(site.base)
    page.get_by_label("The published table").fill(pasted())
    for label, value in (
        ("Name of the station", "Gauge"), ("Latitude", "42.35"), ("Longitude", "-71.05"), ("Datum", "MLLW"),
        ("Mean level", "1.6"), ("Name of your first spot", "Long wharf"),
    ):  # fmt: skip
        page.get_by_label(label, exact=True).fill(value)
    page.get_by_role("button", name="Make the file").click()
    assert "Found" in page.locator("#p-table_units").inner_text()
    page.get_by_label("Unit of the table").select_option("metres")
    page.get_by_label("Phase lags").select_option("greenwich")
    page.get_by_role("button", name="Make the file").click()
    assert "Made gauge.toml." in page.get_by_role("status").inner_text()
    assert "High and low waters" in page.locator("main").inner_text()

    go(page, "Week")
    assert re.search(r"Best: \w{3} \d+ \w{3}", page.locator("#best").inner_text())

    go(page, "Shore")
    page.get_by_role("link", name="Add a landing").click()
    for label, value in (("Name", "Car park"), ("Latitude", "42.351"), ("Longitude", "-71.051")):
        page.get_by_label(label, exact=True).fill(value)
    page.get_by_role("button", name="Save").click()
    assert "Saved: landing Car park." in page.get_by_role("status").inner_text()
    page.get_by_role("link", name="A day out").click()
    page.get_by_label("Leave after", exact=True).fill("08:00")
    page.get_by_label("Home by", exact=True).fill("21:00")
    page.get_by_role("button", name="Save").click()
    go(page, "Plan")
    page.locator(".timetable").first.wait_for()

    go(page, "Log")
    page.get_by_role("link", name="Log a trip").click()
    for label, value in (("From", "2026-08-09 17:30"), ("To", "20:10"), ("Kept", "flounder 41\nbass x2")):
        page.get_by_label(label, exact=True).fill(value)
    page.get_by_label("Spot", exact=True).select_option("long-wharf")
    page.get_by_role("button", name="Keep", exact=True).click()
    assert "Trip 1 kept." in page.get_by_role("status").inner_text()
    (trip,) = kept_trips(data_home / "ebblight" / "trips.db")
    assert (trip.caught(), trip.spot_name) == (3, "Long wharf")
    page.get_by_role("button", name="Undo").click()
    assert kept_trips(data_home / "ebblight" / "trips.db") == ()
    assert {url.startswith(site.base) for url in page.requests} == {True}
    assert [text for text in page.complaints if "422" not in text] == []


def test_a_report_with_trips_has_no_fault(chromium, site, axe):
    for day in range(1, 9):
        times = {"start": f"2026-08-{day:02} 17:00", "end": "20:30"}
        site.posted(f"{AT}/log/new", {"spot": "railway-groyne", "kept": "flounder x1", **times})
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    for room in ("log", "log/1", "log/report"):
        page.goto(f"{site.base}{AT}/{room}")
        assert found_by(axe, page).faults == [], room
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
    context.close()


ROOMS = (
    *("week", "now", "best", "compare", "plan", "shore", "shore/spots/2", "shore/stations/new"),
    *("files/record/0", "log", "log/new", "log/report", "log/learn"),
)


@pytest.fixture(scope="module")
def telephone(chromium):
    """One page for all rooms."""
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("room", [*ROOMS, "/new", "/files", "/guide", "/guide/outing"])
def test_every_page_fits_and_has_no_fault(telephone, standing, axe, room):
    """Nothing is wider than a screen, and axe-core (WCAG 2.2 A and AA, best practices) finds nothing."""
    path = room if room.startswith("/") else f"{AT}/{room}"
    dated = "?start=2026-08-10&days=2" if room in {"week", "best", "compare", "plan"} else ""
    assert standing.get(f"{path}{dated}").status == 200  # worked out, so that no page is replaced while read
    assert telephone.goto(f"{standing.base}{path}{dated}").status == 200
    for width, height in (SIZES["desk"], SIZES["phone"]):
        telephone.set_viewport_size({"width": width, "height": height})
        assert telephone.evaluate("document.documentElement.scrollWidth") <= width
    assert found_by(axe, telephone).faults == []
    seen = telephone.evaluate("[...document.images].map(i => i.complete && i.naturalWidth)")
    assert all(seen) and bool(seen) == (room == "/guide/outing")


def test_keys_alone_reach_a_form_and_send_it(page, site, coast):
    page.goto(f"{site.base}{AT}/shore/spots/0")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the page"
    page.keyboard.press("Enter")
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.name") == "slack_lag":
            break
    page.keyboard.press("Control+A")
    page.keyboard.type("35")
    page.keyboard.press("Enter")
    page.wait_for_selector(".notice")
    assert "slack_lag = 35" in (coast / "pellaway_sound.toml").read_text(encoding="utf-8")


def test_pages_work_without_script_but_for_readings(chromium, site):
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{site.base}{AT}/week?start=2026-08-10")
    page.locator(".choices summary").click()
    page.locator("select[name=spot]").select_option("marsh-drain")
    page.get_by_label("First day").fill("2026-08-20")
    page.get_by_role("button", name="Show").click()
    text = page.locator("body").inner_text()
    assert "Marsh drain" in text
    assert "Thu 20 Aug" in text
    context.close()


def test_the_rows_of_the_week_lead_to_their_days(page, site):
    page.goto(f"{site.base}{AT}/week?start=2026-08-10")
    strip = page.locator(".strip")
    box = strip.bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] * 2.5 / 7)
    assert "/week" in page.url
    assert page.locator("details.day").nth(2).get_attribute("open") is not None


def test_readings_follow_the_keys_on_a_served_page(page, site):
    page.goto(f"{site.base}{AT}/week?start=2026-08-10&days=1")
    page.locator("details.day summary").first.click()
    reader = page.locator("details.day .reader").first
    reader.focus()
    before = page.locator("details.day .reading").first.inner_text()
    page.keyboard.press("ArrowRight")
    assert page.locator("details.day .reading").first.inner_text() != before
    assert date(2026, 8, 10).strftime("%a %d %b") in before
