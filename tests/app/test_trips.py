"""The log's pages: trips kept with their forecast, changed, taken out and brought back, counted and moved."""

import re
import tomllib
from datetime import datetime, timedelta

import pytest

from tests.app.asking import AT
from tests.cli.runs import rows
from windows.log.keeping import kept_trips

LOG = f"{AT}/log"
TRIP = {
    "spot": "railway-groyne", "start": "2026-08-09 17:30", "end": "20:10", "anglers": "2",
    "kept": "flounder 15.5 16\nwhiting x2", "released": "flounder 11", "sought": "drum", "measured": "total",
    "turned_out": "17:50", "drift": "0.8@18:20", "lead": "3oz", "temperature": "78F", "wind": "8kn SW",
    "clarity": "cloudy", "words": "long drifts",
}  # fmt: skip


def trips(data_home):
    return kept_trips(data_home / "ebblight" / "trips.db", removed=True)


@pytest.fixture
def kept(site, data_home):
    """A trip in the log: the page that was shown."""
    return site.posted(f"{LOG}/new", TRIP)


def changed(site, number: int, **fields: str) -> dict[str, str]:
    """The form of a kept trip as its page shows it, with other values in some fields."""
    text = site.get(f"{LOG}/{number}").text
    found = {"seen": re.search(r'name="seen" value="([^"]*)"', text)[1], "deed": "keep"}
    found |= dict(re.findall(r'type="text" name="([^"]*)" value="([^"]*)"', text))
    found |= dict(re.findall(r'<textarea [^>]*name="([^"]*)"[^>]*>([^<]*)</textarea>', text))
    for name, body in re.findall(r'<select [^>]*name="([^"]*)".*?>(.*?)</select>', text, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', body)
        found[name] = chosen[1] if chosen else ""
    return {**found, **fields}


def test_a_trip_is_kept_with_its_forecast(kept, data_home):
    assert "Trip 1 kept." in kept.words
    assert "of 100 points" in kept.words
    (trip,) = trips(data_home)
    assert (trip.anglers, trip.caught("flounder"), trip.caught("whiting"), trip.caught("drum")) == (
        2,
        3,
        2,
        0,
    )
    assert trip.forecast is not None
    assert trip.forecast.made == "logged"
    assert trip.words == "long drifts"


def test_the_list_the_file_and_back(site, kept, data_home, tmp_path):
    listed = site.get(LOG).words
    assert "Sun 9 Aug 2026, 17:30-20:10" in listed
    assert "3 flounder (2 kept)" in listed
    data = site.get(f"{AT}/log.csv").body
    before = trips(data_home)
    answer = sent_table(site, data)
    assert answer.status == 303
    assert "1 there already" in site.get(answer.headers["location"]).words
    assert trips(data_home) == before


def sent_table(site, data: bytes):
    """A table of trips sent as a browser sends a file."""
    part = "--x\r\nContent-Disposition: form-data; name="
    head = f'{part}"token"\r\n\r\n{site.token()}\r\n{part}"table"; filename="../../x.csv"\r\n\r\n'
    kind = "multipart/form-data; boundary=x"
    return site.ask("POST", f"{LOG}/import", head.encode() + data + b"\r\n--x--\r\n", content_type=kind)


def test_a_table_of_trips_that_is_none(site, data_home):
    answer = sent_table(site, b"spot\nhere\n")
    assert answer.status == 422
    assert "start_utc" in answer.words
    assert "/tmp" not in answer.words
    assert trips(data_home) == ()


def test_a_form_sent_as_it_stands_changes_nothing(site, kept, data_home):
    before = trips(data_home)
    site.posted(f"{LOG}/1", changed(site, 1))
    assert trips(data_home) == before


def test_what_is_changed_is_changed_alone(site, kept, data_home):
    (before,) = trips(data_home)
    done = site.posted(
        f"{LOG}/1", changed(site, 1, words="short drifts", lead="", turned_out="", wind="calm")
    )
    (after,) = trips(data_home)
    assert (after.words, after.lead_held, after.wind_speed) == ("short drifts", None, 0.0)
    assert [item.kind for item in after.seen] == ["drift"]
    assert after.catches == before.catches
    assert after.forecast == before.forecast
    ticket = re.search(r'name="ticket" value="([^"]*)"', done.text)[1]
    site.posted("/undo", {"ticket": ticket})
    assert trips(data_home) == (before,)


def test_another_catch_keeps_the_rest_of_it(site, kept, data_home):
    site.posted(f"{LOG}/1", changed(site, 1, released="flounder 11\nray x1"))
    (trip,) = trips(data_home)
    assert (trip.caught("flounder"), trip.caught("ray"), trip.caught("whiting")) == (3, 1, 2)
    assert any(not catch.fish for catch in trip.catches)


def test_other_hours_get_another_forecast_marked_as_later(site, kept, data_home):
    site.posted(f"{LOG}/1", changed(site, 1, start="2026-08-09 15:00"))
    (trip,) = trips(data_home)
    assert trip.forecast.made == "later"


def test_out_and_back(site, kept, data_home):
    page = site.posted(f"{LOG}/1", {"deed": "remove"})
    assert "Trip 1 taken out of the log." in page.words
    assert "Sun 9 Aug" not in page.words
    assert trips(data_home)[0].removed_at is not None
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    site.posted("/undo", {"ticket": ticket})
    assert trips(data_home)[0].removed_at is None
    site.posted(f"{LOG}/1", {"deed": "remove"})
    site.posted(f"{LOG}/1", {"deed": "restore"})
    assert trips(data_home)[0].removed_at is None


def test_a_trip_changed_elsewhere_is_not_written_over(site, kept, data_home):
    stale = changed(site, 1, words="mine")
    site.posted(f"{LOG}/1", changed(site, 1, words="theirs"))
    answer = site.post(f"{LOG}/1", stale)
    assert answer.status == 422
    assert "The trip was changed elsewhere" in answer.words
    assert trips(data_home)[0].words == "theirs"


@pytest.mark.parametrize(
    ("fields", "key", "told"),
    [
        ({"start": "late"}, "start", "a time such as"),
        ({"end": ""}, "end", "when it ended"),
        ({"kept": "", "released": "", "sought": ""}, "nothing", "fish kept, released or sought"),
        ({"kept": "flounder 9000"}, "kept", "expected"),
        ({"anglers": "many"}, "anglers", "a whole number"),
        ({"fished_for": "9h"}, "fished_for", "at most the whole trip"),
        ({"clarity": "green"}, "clarity", "clear or cloudy or muddy"),
        ({"end": "2099-01-01 10:00"}, "end", "7 days or less"),
        ({"turned_out": "soon"}, "turned_out", "expected"),
    ],
)
def test_what_is_wrong_stands_beside_its_field(site, data_home, fields, key, told):
    answer = site.post(f"{LOG}/new", {**TRIP, **fields})
    assert answer.status == 422
    beside = answer.text.partition(f'id="p-{key}"')[2].partition("</div>")[0]
    assert told in beside, answer.words
    assert "long drifts" in answer.text
    assert trips(data_home) == ()


def test_a_plan_is_frozen_and_fished_later(site, data_home):
    plan = {"deed": "plan", "spot": "railway-groyne", "start": "2026-08-12 18:25", "end": "20:25"}
    assert "Trip 1 planned." in site.posted(f"{LOG}/new", plan).words
    (trip,) = trips(data_home)
    assert (trip.fished, trip.forecast.made) == (False, "planned")


def test_the_report_and_the_lessons_of_an_empty_log_and_of_one(site, data_home):
    assert "No verdict yet" in site.get(f"{LOG}/report").words
    site.posted(f"{LOG}/new", TRIP)
    report = site.get(f"{LOG}/report").words
    assert "No verdict yet" in report
    assert "1 trip" in report or "1 (0 without fish)" in report
    assert site.get(f"{LOG}/learn").status == 200


def test_lessons_are_written_into_the_file(site, coast, data_home):
    """The current was seen to turn an hour after each high water, where the file says 25 minutes."""
    path = coast / "pellaway_sound.toml"
    waters = rows("tides", path, "--station", "gannet-bar", "--start", "2026-07-01", "--days", "30")
    for water in [row for row in waters if row["event"] == "high_water"][:6]:
        turn = datetime.fromisoformat(water["time_local"]) + timedelta(minutes=60)
        times = {"start": turn - timedelta(hours=1), "end": turn + timedelta(hours=2), "turned_out": turn}
        said = {key: f"{when:%Y-%m-%d %H:%M}" for key, when in times.items()}
        site.posted(f"{LOG}/new", {"spot": "railway-groyne", "nothing": "yes", **said})
    before = path.read_bytes()
    told = site.get(f"{LOG}/learn").words
    assert "Railway groyne: the current turns" in told, told
    page = site.posted(f"{LOG}/learn", {"revision": site.hidden(f"{LOG}/learn", "revision")})
    assert "Written into the file: 1 setting." in page.words
    assert 55 <= tomllib.loads(path.read_text(encoding="utf-8"))["spots"][0]["slack_lag"] <= 65
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    site.posted("/undo", {"ticket": ticket})
    assert path.read_bytes() == before
