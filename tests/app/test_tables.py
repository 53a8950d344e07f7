"""Published tables pasted into forms: a first file, and stations and currents more."""

import re
import tomllib

import pytest

from tests.app.asking import AT
from tests.published_layouts import TIDES, tide
from windows.shoreline.shore import read_shore

SAID = {"station_name": "Gauge", "latitude": "42.35", "longitude": "-71.05", "datum": "MLLW",
        "mean_level": "1.6", "table_units": "metres", "phase": "greenwich", "spot": "Long wharf"}  # fmt: skip


def pasted() -> str:
    """A table that says nothing of itself but its rows."""
    return "name,amplitude,phase\nM2,1.361,110.0\nS2,0.22,145.9\nN2,0.31,79.6\nK1,0.14,203.5\nO1,0.11,187.7\n"


@pytest.fixture
def empty(tmp_path):
    folder = tmp_path / "empty"
    folder.mkdir()
    return folder


def test_a_first_file_from_nothing(serving, empty):
    site = serving(empty)
    page = site.posted("/new", {**SAID, "table": pasted()})
    assert "Made gauge.toml." in page.words
    assert "High and low waters of" in page.words
    document = tomllib.loads((empty / "gauge.toml").read_text(encoding="utf-8"))
    assert document["time_zone"] == "America/New_York"
    assert [item["id"] for item in document["spots"]] == ["long-wharf"]
    assert "Long wharf" in site.get("/at/gauge.toml/week").words
    ticket = re.search(r'name="ticket" value="([^"]*)"', page.text)[1]
    assert site.post("/undo", {"ticket": ticket}).status == 303
    assert list(empty.iterdir()) == []


@pytest.mark.parametrize("name", ["tabs, feet, numbered, footers", "page with other tables"])
def test_a_published_table_comes_through_to_the_digit(serving, empty, name):
    """Published constants of Boston (US National Ocean Service), laid out as agencies print tables."""
    layout, rows = TIDES[name], tide("8443970")
    fields = {"table": layout.make(rows), "longitude": "-71.05", "latitude": "42.35", "spot": "Long wharf"}
    level = f"{1.577 / layout.si:.3f}"
    said = {"station_name": "Gauge", "datum": "MLLW", "mean_level": level, "phase": "greenwich"}
    answer = serving(empty).post("/new", {**fields, **said})
    assert answer.status == 303, answer.words
    constants = read_shore(empty / "gauge.toml").stations[0].constants
    found = {c.name: float(a) for c, a in zip(constants.constituents, constants.amplitude, strict=True)}
    compared = [(row, found[row.name]) for row in rows if row.amplitude and row.name in found]
    assert len(compared) > 25
    for row, amplitude in compared:
        assert amplitude == pytest.approx(row.amplitude, abs=0.51 * 10**-layout.decimals * layout.si), row


def test_what_is_missing_stands_beside_its_field(serving, empty):
    site = serving(empty)
    answer = site.post("/new", {"table": pasted()})
    assert answer.status == 422
    for key in ("table_units", "phase"):
        assert f'id="p-{key}"' in answer.text
    answer = site.post("/new", {"table": pasted(), "table_units": "metres", "phase": "greenwich"})
    for key in ("station_name", "latitude", "longitude", "datum", "mean_level", "spot"):
        assert f'id="p-{key}"' in answer.text, key
    assert "M2,1.361" in answer.text
    assert list(empty.iterdir()) == []


def test_the_sign_of_west_is_refused(serving, empty):
    site = serving(empty)
    answer = site.post(
        "/new", {**SAID, "longitude": "71.05", "time_zone": "America/New_York", "table": pasted()}
    )
    assert answer.status == 422
    assert "longitude" in answer.text.lower()
    assert list(empty.iterdir()) == []


def test_a_file_that_is_there_is_never_written_over(serving, empty):
    site = serving(empty)
    site.posted("/new", {**SAID, "table": pasted()})
    before = {path.name: path.read_bytes() for path in empty.iterdir()}
    answer = site.post("/new", {**SAID, "table": pasted()})
    assert answer.status == 422
    assert "found such a file" in answer.words
    assert {path.name: path.read_bytes() for path in empty.iterdir()} == before


def test_a_station_more(site, coast):
    page = f"{AT}/shore/stations/new"
    fields = {"name": "Far gauge", "latitude": "29.2", "longitude": "-90.5",
              "datum": "MLLW", "mean_level": "0.2",
              "table": "name,amplitude,phase\nK1,0.15,40\nO1,0.14,30\n", "table_units": "metres",
              "phase": "greenwich", "revision": site.hidden(page, "revision")}  # fmt: skip
    done = site.posted(page, fields)
    assert "Saved: station Far gauge." in done.words
    assert (coast / "far-gauge.csv").is_file()
    ticket = re.search(r'name="ticket" value="([^"]*)"', done.text)[1]
    site.posted("/undo", {"ticket": ticket})
    assert not (coast / "far-gauge.csv").exists()
    assert "far-gauge" not in (coast / "pellaway_sound.toml").read_text(encoding="utf-8")


def test_a_current_more_and_a_tide_in_its_place(site, coast):
    page = f"{AT}/shore/currents/new"
    told = {"name": "The race", "latitude": "29.3", "longitude": "-90.6", "flood_direction": "10",
            "ebb_direction": "190", "phase": "greenwich", "table_units": "knots",
            "revision": site.hidden(page, "revision")}  # fmt: skip
    table = "name,amplitude,phase\nK1,0.8,40\nO1,0.7,30\n"
    assert "Saved: current The race." in site.posted(page, {**told, "table": table}).words
    again = {**told, "revision": site.hidden(page, "revision"), "table_units": "metres", "table": table}
    answer = site.post(page, again)
    assert answer.status == 422
    assert "a tide&#39;s table; expected a current&#39;s" in answer.text


@pytest.mark.parametrize(
    "table", ["", "nothing here", "<html>" * 1000, "M2 nan nan\n" * 5, "\0", "M2,1,1\n" * 50_000]
)
def test_what_is_no_table_is_told(serving, empty, table):
    answer = serving(empty).post("/new", {**SAID, "table": table})
    assert answer.status == 422
    assert 'id="p-table"' in answer.text
    assert "Traceback" not in answer.text
