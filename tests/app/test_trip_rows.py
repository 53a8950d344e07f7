"""Trips as their pages show them: the list, what a kept one offers, and what is taken back and how."""

import html
import re
from dataclasses import replace

import pytest

from tests.app.asking import AT
from tests.app.conftest import NOW
from tests.app.sending import beside, undone
from windows.app import trips as trip_pages
from windows.log.keeping import kept_trips
from windows.log.storage import SqliteStore

LOG = f"{AT}/log"
TRIP = {"spot": "railway-groyne", "start": "2026-08-09 17:30", "end": "20:10", "nothing": "yes"}
CAUGHT = {
    "spot": "oyster-dock",
    "start": "2026-08-08 06:00",
    "end": "07:15",
    "anglers": "2",
    "kept": "bass x2",
}
PLAN = {"deed": "plan", "spot": "marsh-drain", "start": "2026-08-12 18:25", "end": "20:25"}


@pytest.fixture
def place(data_home):
    return data_home / "ebblight" / "trips.db"


def listed(site) -> list[list[str]]:
    """Address, hours, spot, catch, angler-hours and points of each row."""
    row = (
        r'<a href="([^"]*)">([^<]*)</a> <bdi>([^<]*)</bdi></th>'
        r"<td>([^<]*) <span>([^<]*) angler-hours</span></td><td>([^<]*)</td>"
    )
    return [[html.unescape(part) for part in found] for found in re.findall(row, site.get(LOG).text)]


def deeds(text: str) -> list[str]:
    return re.findall(r'name="deed" value="(\w+)"', text)


def seen(site, number: int) -> str:
    return re.search(r'name="seen" value="([^"]*)"', site.get(f"{LOG}/{number}").text)[1]


def without_forecasts(place) -> None:
    """As a log is whose trips came from elsewhere."""
    with SqliteStore(place) as store:
        for trip in store.trips():
            store.change(trip.number, lambda item: replace(item, forecast=None))


def test_the_list_has_the_latest_first_with_all_that_is_asked_of_a_trip(site, place):
    for fields in (CAUGHT, TRIP, PLAN):
        site.posted(f"{LOG}/new", fields)
    points = [f"{trip.forecast.points:.0f}" for trip in kept_trips(place)]
    assert listed(site) == [
        [f"{LOG}/3", "Wed 12 Aug 2026, 18:25-20:25", "Marsh drain", "planned", "2.0", points[2]],
        [f"{LOG}/2", "Sun 9 Aug 2026, 17:30-20:10", "Railway groyne", "nothing", "2.7", points[1]],
        [f"{LOG}/1", "Sat 8 Aug 2026, 06:00-07:15", "Oyster dock", "2 bass (2 kept)", "2.5", points[0]],
    ]
    assert "earlier ones" not in site.get(LOG).words


def test_of_many_trips_the_latest_are_listed_and_the_rest_counted(site, place, monkeypatch):
    assert trip_pages.LISTED == 200
    monkeypatch.setattr(trip_pages, "LISTED", 1)
    for fields in (CAUGHT, TRIP, PLAN):
        site.posted(f"{LOG}/new", fields)
    assert [row[0] for row in listed(site)] == [f"{LOG}/3"]
    assert "2 earlier ones are in the file to keep." in site.get(LOG).words


def test_what_a_trip_offers_is_what_can_be_done_with_it(site, place):
    """A new one and a plan are kept; a forecast is computed where there is none; one comes out, or back."""
    assert deeds(site.get(f"{LOG}/new").text) == ["keep"]
    assert deeds(site.get(f"{LOG}/new?planned=yes").text) == ["plan"]
    assert deeds(site.get(f"{LOG}/new?planned=no").text) == ["keep"]
    assert deeds(site.post(f"{LOG}/new", {**PLAN, "end": ""}).text) == ["plan"]
    assert deeds(site.post(f"{LOG}/new", {**TRIP, "end": ""}).text) == ["keep"]
    assert deeds(site.posted(f"{LOG}/new", TRIP).text) == ["keep", "remove"]
    without_forecasts(place)
    assert deeds(site.get(f"{LOG}/1").text) == ["keep", "compute", "remove"]
    page = site.posted(f"{LOG}/1", {"deed": "compute", "seen": seen(site, 1)})
    assert "Trip 1 changed." in page.words and "computed later" in page.words
    site.posted(f"{LOG}/1", {"deed": "remove"})
    text = site.get(f"{LOG}/1").text
    assert deeds(text) == ["keep", "restore"] and "It was taken out of the log" in text
    assert "It was taken out of the log" not in site.posted(f"{LOG}/1", {"deed": "restore"}).text


def test_a_forecast_is_computed_only_where_that_is_asked(site, place):
    site.posted(f"{LOG}/new", TRIP)
    assert re.search("<h1>([^<]*)</h1>", site.get(f"{LOG}/1").text)[1] == "Trip 1"
    without_forecasts(place)
    site.posted(f"{LOG}/1", {"deed": "keep", "seen": seen(site, 1), "words": "calm"})
    (trip,) = kept_trips(place)
    assert (trip.forecast, trip.words) == (None, "calm")
    assert "No forecast is kept with it." in site.get(f"{LOG}/1").words


def test_each_deed_is_told_with_its_trip_and_leads_to_where_it_shows(site, place):
    site.posted(f"{LOG}/new", CAUGHT)
    told = [
        (f"{LOG}/new", TRIP, "Trip 2 kept.", f"{LOG}/2"),
        (f"{LOG}/2", {"deed": "remove"}, "Trip 2 taken out of the log.", LOG),
        (f"{LOG}/2", {"deed": "restore"}, "Trip 2 brought back.", f"{LOG}/2"),
        (f"{LOG}/new", PLAN, "Trip 3 planned.", f"{LOG}/3"),
    ]
    for page, fields, sentence, leads_to in told:
        answer = site.post(page, fields)
        way = answer.headers["location"]
        assert (answer.status, way.partition("?")[0]) == (303, leads_to), sentence
        shown = site.get(way)
        assert re.findall(r'role="status">\s*<p>([^<]*)</p>', shown.text) == [sentence]
        assert f'<a href="{LOG}" aria-current="page">' in shown.text
    back = site.post("/undo", {"ticket": re.search(r'name="ticket" value="([^"]*)"', shown.text)[1]})
    assert back.headers["location"].partition("?")[0] == f"{LOG}/3"
    assert [trip.number for trip in kept_trips(place)] == [1, 2]


def test_what_was_undone_is_told_without_another_way_back(site, place):
    page = site.posted(f"{LOG}/new", TRIP)
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    after = site.posted("/undo", {"ticket": ticket})
    assert "Undone." in after.words and 'name="ticket"' not in after.text
    assert 'role="status"' not in site.get(f"{LOG}/1").text
    assert 'role="status"' not in site.get(f"{LOG}/1?done=other").text


def test_times_of_taking_out_are_those_of_the_clock(site, place):
    page = site.posted(f"{LOG}/new", TRIP)
    undone(site, page)
    assert [trip.removed_at for trip in kept_trips(place, True)] == [NOW]
    site.posted(f"{LOG}/1", {"deed": "restore"})
    site.posted(f"{LOG}/1", {"deed": "remove"})
    assert [trip.removed_at for trip in kept_trips(place, True)] == [NOW]


def test_a_change_is_taken_back_once_and_not_over_a_later_one(site, place):
    site.posted(f"{LOG}/new", TRIP)
    first = site.posted(f"{LOG}/1", {"deed": "keep", "seen": seen(site, 1), "words": "one"})
    site.posted(f"{LOG}/1", {"deed": "keep", "seen": seen(site, 1), "words": "two"})
    answer = site.post("/undo", {"ticket": re.search(r'name="ticket" value="([^"]*)"', first.text)[1]})
    assert answer.status == 409
    assert "The trip was changed elsewhere" in answer.words
    assert f'<a class="way" href="{LOG}/1">' in answer.text
    assert [trip.words for trip in kept_trips(place)] == ["two"]


def test_a_new_trip_has_what_its_address_says_and_no_more(standing):
    text = standing.get(f"{LOG}/new?spot=grass-cut&start=17:30&bait=%3Cb%3E&deed=plan&other=1").text
    assert '<option value="grass-cut" selected>Grass cut</option>' in text
    assert 'name="start" value="17:30"' in text and 'name="bait" value="&lt;b&gt;"' in text
    assert text.count(" selected>") == 1 and deeds(text) == ["keep"]
    assert 'name="seen"' not in text
    assert re.search("<h1>([^<]*)</h1>", text)[1] == "A trip"


def test_what_a_trip_s_form_asks_for_and_how(standing):
    text = standing.get(f"{LOG}/new").text
    assert re.findall(r"<legend>([^<]*)</legend>", text) == [
        "When and where",
        "Catch",
        "What the water did",
        "And",
    ]
    assert re.findall(r'<textarea [^>]*name="(\w+)" rows="2"', text) == [
        *("kept", "released", "sought"),
        *("turned_out", "turned_in", "drift", "bared", "covered"),
    ]
    assert re.findall(r'type="checkbox" name="(\w+)" value="yes"', text) == ["nothing"]
    options = {
        name: re.findall(r'<option value="([^"]*)"[^>]*>([^<]*)<', body)[1:]
        for name, body in re.findall(r'<select [^>]*name="(\w+)".*?>(.*?)</select>', text, re.DOTALL)
    }
    assert options == {
        "spot": [
            ("railway-groyne", "Railway groyne"),
            ("oyster-dock", "Oyster dock"),
            ("marsh-drain", "Marsh drain"),
            ("grass-cut", "Grass cut"),
        ],
        "measured": [("total", "total"), ("fork", "fork")],
        "clarity": [("clear", "clear"), ("cloudy", "cloudy"), ("muddy", "muddy")],
    }
    assert "2026-08-15 17:30, or 17:30 for the last there was" in text


@pytest.mark.parametrize("deed", ["keep", "plan"])
def test_all_that_a_trip_lacks_is_told_in_one_go(standing, deed):
    answer = standing.post(f"{LOG}/new", {"deed": deed})
    lacking = {
        "spot": "one of the file&#39;s spots",
        "start": "when fishing began, such as 17:30",
        "end": "when it ended, such as 20:10",
        "nothing": "fish kept, released or sought, or that there was none",
    }
    wrong = re.findall(r'id="p-(\w+)"', answer.text)
    assert wrong == [key for key in lacking if deed == "keep" or key != "nothing"]
    for key in wrong:
        assert f"Found nothing; expected {lacking[key]}." in beside(answer, key)
    assert re.search("<h1>([^<]*)</h1>", answer.text)[1] == "A trip"


def test_a_kept_trip_that_is_refused_is_shown_as_it_was_filled_in(site, place):
    site.posted(f"{LOG}/new", TRIP)
    answer = site.post(f"{LOG}/1", {**TRIP, "seen": seen(site, 1), "anglers": "no", "fished_for": "9h"})
    assert answer.status == 422
    assert re.search("<h1>([^<]*)</h1>", answer.text)[1] == "Trip 1"
    assert f'action="{LOG}/1"' in answer.text and 'name="anglers" value="no"' in answer.text
    assert "Found &#39;no&#39;; expected a whole number." in beside(answer, "anglers")
    assert seen(site, 1) in answer.text and deeds(answer.text) == ["keep", "remove"]
    again = site.post(f"{LOG}/1", {**TRIP, "seen": seen(site, 1), "anglers": "1", "fished_for": "9h"})
    assert "at most the whole trip" in beside(again, "fished_for")


@pytest.mark.parametrize("deed", ["keep", "remove", "restore", "compute"])
def test_a_trip_that_is_not_there_is_told_whatever_is_to_be_done_with_it(site, place, deed):
    site.posted(f"{LOG}/new", TRIP)
    for answer in (site.get(f"{LOG}/7"), site.post(f"{LOG}/7", {"deed": deed})):
        assert answer.status == 404
        assert f'<a href="{LOG}" aria-current="page">' in answer.text
    assert [trip.number for trip in kept_trips(place)] == [1]


def test_fish_without_rules_are_to_be_looked_up(site, coast, place):
    path = coast / "pellaway_sound.toml"
    said = "The file has no [[rules]]: look up sizes, bags and seasons where they stand."
    assert said in site.posted(f"{LOG}/new", CAUGHT).words
    assert said not in site.posted(f"{LOG}/new", TRIP).words
    rule = '\n[[rules]]\nspecies = "bass"\nbag = 1\nchecked = 2026-08-01\n'
    path.write_text(path.read_text(encoding="utf-8") + rule, encoding="utf-8")
    shown = site.get(f"{LOG}/1").words
    assert said not in shown
    assert "bass: keep, number 1 of a bag of 2 that day." in shown
    assert f"The log is {place}." in site.get(LOG).words


@pytest.mark.parametrize("method", ["GET", "POST"])
def test_without_a_spot_there_is_no_trip_and_the_way_to_one_is_shown(site, coast, data_home, method):
    path = coast / "pellaway_sound.toml"
    path.write_text(path.read_text(encoding="utf-8").partition("[[spots]]")[0], encoding="utf-8")
    answer = site.get(f"{LOG}/new") if method == "GET" else site.post(f"{LOG}/new", TRIP)
    assert answer.status == 422 and not data_home.exists()
    assert f'<a href="{LOG}" aria-current="page">' in answer.text
    assert f'<a class="way" href="{AT}/shore/spots/new">Add a spot</a>' in answer.text
    assert site.get(LOG).status == 200
