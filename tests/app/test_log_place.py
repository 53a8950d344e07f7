"""Where trips are kept, as a form says it: inside the folder, and in the place of no other file."""

import re

import pytest

from tests.app.asking import AT

PAGE = f"{AT}/shore/log"
TRIP = {"spot": "railway-groyne", "start": "2026-08-09 17:30", "end": "20:10", "nothing": "yes"}


@pytest.fixture
def path(coast):
    return coast / "pellaway_sound.toml"


def said(site, place: str) -> dict[str, str]:
    return {"path": place, "revision": site.hidden(PAGE, "revision")}


def test_where_trips_are_kept(site, coast, path, data_home):
    site.posted(f"{AT}/log/new", TRIP)
    before = path.read_bytes()
    done = site.posted(PAGE, said(site, "my trips.db"))
    place = data_home / "ebblight" / "trips.db"
    assert f"Saved: place of the log. The one trip kept so far stays in {place}." in done.words
    assert path.read_bytes() == before + b'\n[log]\npath = "my trips.db"\n'
    assert "No trip is kept yet." in site.get(f"{AT}/log").words
    site.posted(f"{AT}/log/new", TRIP)
    assert (coast / "my trips.db").is_file()
    assert "stays in" not in site.posted(PAGE, said(site, "my trips.db")).words
    ticket = re.search(r'name="ticket" value="([^"]*)"', done.text)[1]
    site.posted("/undo", {"ticket": ticket})
    assert path.read_bytes() == before


NAMES = [
    *("../trips.db", "/tmp/trips.db", "sub/trips.db", "..\\trips.db", "C:trips.db", ".trips.db", "trips.csv"),
    *("pellaway_sound.toml", "linked.db", "other.db", "folder.db", "<b>.db", ""),
]


@pytest.mark.parametrize("place", NAMES)
def test_the_log_stays_in_the_folder_and_takes_the_place_of_no_other_file(site, coast, path, tmp_path, place):
    (coast / "linked.db").symlink_to(tmp_path / "outside.db")
    (coast / "other.db").write_bytes(b"SQLite format 3\0 of another program")
    (coast / "folder.db").mkdir()
    before = path.read_bytes()
    answer = site.post(PAGE, said(site, place))
    assert answer.status == 422
    assert "Found " in answer.text.partition('id="p-path"')[2].partition("</div>")[0]
    assert "<b>" not in answer.text
    assert path.read_bytes() == before


def test_a_place_out_of_the_folder_that_an_editor_wrote_stays(site, path, tmp_path):
    place = tmp_path / "elsewhere.db"
    path.write_text(f'{path.read_text(encoding="utf-8")}\n[log]\npath = "{place}"\n', encoding="utf-8")
    before = path.read_bytes()
    site.posted(PAGE, said(site, str(place)))
    assert path.read_bytes() == before
