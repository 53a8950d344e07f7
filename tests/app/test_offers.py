"""What pages offer beside their answer: files to keep, a way back, names of ways, yes and no."""

import html
import re
import tomllib

import pytest

from tests.app.asking import AT
from tests.app.sending import undone
from tests.cli.runs import done
from windows.log.keeping import kept_trips

KINDS = {
    "ics": "text/calendar",
    "text": "text/plain",
    "png": "image/png",
    "page": "text/html",
    "csv": "text/csv",
    "json": "application/json",
}
TRIP = {"spot": "railway-groyne", "start": "2026-08-09 17:30", "end": "20:10", "nothing": "yes"}


@pytest.mark.parametrize("room", ["week", "best", "compare", "plan"])
def test_each_forecast_offers_itself_as_files(site, room):
    asked = f"{AT}/{room}?start=2026-08-10&days=1"
    offered = [html.unescape(way) for way in re.findall(r'href="([^"]*keep=[^"]*)"', site.get(asked).text)]
    forms = [way.rpartition("keep=")[2] for way in offered]
    assert len(set(forms)) == len(forms) >= 3 and set(forms) <= set(KINDS)
    for form, way in list(zip(forms, offered, strict=True))[:: 1 if room == "week" else 3]:
        answer = site.get(way)
        assert (answer.status, answer.headers["content-type"].partition(";")[0]) == (200, KINDS[form])
        assert answer.headers["content-disposition"].startswith("attachment; ")


def test_a_trip_that_was_kept_taken_out_or_brought_back_can_be_undone(site, data_home):
    place = data_home / "ebblight" / "trips.db"
    page = site.posted(f"{AT}/log/new", TRIP)
    assert len(kept_trips(place)) == 1
    undone(site, page)
    assert (len(kept_trips(place)), len(kept_trips(place, True))) == (0, 1)
    back = site.posted(f"{AT}/log/1", {"deed": "restore"})
    assert len(kept_trips(place)) == 1
    undone(site, back)
    assert len(kept_trips(place)) == 0


def test_a_way_is_called_by_the_places_at_its_ends(serving, coast):
    path = coast / "korimako_reach.toml"
    document = tomllib.loads(path.read_text(encoding="utf-8"))
    places = [*document["spots"], *document["banks"], *document["landings"]]
    names = {place["id"]: place["name"] for place in places}
    shown = serving(path).get("/at/korimako_reach.toml/shore").text
    labels = re.findall(r'href="/at/korimako_reach\.toml/shore/ways/\d+"><bdi>([^<]*)</bdi>', shown)
    assert len(labels) == len(document["ways"])
    for label, way in zip(labels, document["ways"], strict=True):
        ends = [html.unescape(label).find(names[way[end]]) for end in ("from", "to")]
        assert 0 <= ends[0] < ends[1], label


def test_yes_and_no_are_true_and_false_in_the_file(site, coast):
    path = coast / "pellaway_sound.toml"
    page = f"{AT}/shore/banks/0"
    field = re.search(r'<select[^>]*name="([^"]*\bwarm_only)".*?</select>', site.get(page).text, re.DOTALL)
    for word, value in (("yes", True), ("no", False)):
        chosen = re.search(rf'<option value="([^"]*)"[^>]*>{word}<', field[0])[1]
        sent = {**filled(site.get(page).text), field[1]: chosen}
        site.posted(page, sent)
        assert tomllib.loads(path.read_text(encoding="utf-8"))["banks"][0]["warm_only"] is value


def filled(text: str) -> dict[str, str]:
    """The fields of a form as a browser sends them when nothing is changed."""
    fields = dict(re.findall(r'<input[^>]*\bname="([^"]*)"[^>]*\bvalue="([^"]*)"', text))
    for name, options in re.findall(r'<select[^>]*name="([^"]*)".*?>(.*?)</select>', text, re.DOTALL):
        fields[name] = (re.search(r'value="([^"]*)" selected', options) or ["", ""])[1]
    return {html.unescape(key): html.unescape(value) for key, value in fields.items()}


def test_what_hours_may_be_stands_beside_their_field(site):
    """As the page of a forecast, the form of a spot and the schema for editors have it."""
    said = '"any" or a range such as "12:00-sunset+1h"'
    assert said in html.unescape(site.get(f"{AT}/week?start=2026-08-10&days=1").text)
    assert said in html.unescape(site.get(f"{AT}/shore/spots/0").text)
    assert said.replace('"', '\\"') in done("guide", "--schema")
