"""The log as CSV and back: nothing lost, every problem told, notebooks of others taken in."""

import csv
import io
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harmonics.errors import FileProblemsError
from harmonics.files.spreadsheets import active, inert
from tests.windows.log.made_trips import FULL, HOUR, NOON, plain_trip, trips
from windows.log.exchange import COLUMNS, instant, written
from windows.log.importing import Background, read_trips
from windows.log.storage import SqliteStore
from windows.log.trips import MOST_FISH, Catch, Fish, Made

BACKGROUND = Background("A shore", "Europe/London", {"ledge": "Long ledge"}, NOON)


@pytest.fixture
def read(tmp_path):
    def reader(text: str, background: Background = BACKGROUND):
        path = tmp_path / "trips.csv"
        path.write_bytes(text.encode())
        return read_trips(path, background)

    return reader


def problems(read, text: str, background: Background = BACKGROUND) -> list[tuple[str, str]]:
    with pytest.raises(FileProblemsError) as error:
        read(text, background)
    return [(problem.where, f"{problem.found} {problem.expected}") for problem in error.value.problems]


class TestBothWays:
    def test_a_whole_trip(self, read):
        assert read(written([FULL])) == (FULL,)

    def test_a_row_a_species_and_one_for_a_trip_without(self):
        found = list(csv.DictReader(io.StringIO(written([FULL, plain_trip(2)]))))
        assert [(row["species"], row["caught"], row["kept"]) for row in found] == [
            ("Flounder", "4", "2"),
            ('\'=SUM(A1), "sea" bass', "0", "0"),
            ("", "0", "0"),
        ]
        assert tuple(found[0]) == COLUMNS
        assert (found[0]["start_utc"], found[0]["angler_hours"]) == ("2026-08-10T12:00:00Z", "3")
        assert found[0]["points_by_factor"].startswith("flow 55.1 of 60; light 0.333")

    @settings(max_examples=20)
    @given(st.tuples(trips(0), trips(1), trips(2)))
    def test_any_trips(self, many):
        import tempfile

        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "trips.csv"
            path.write_text(written(many), encoding="utf-8")
            assert read_trips(path, BACKGROUND) == many

    def test_a_database_from_its_export_is_the_same(self, tmp_path):
        first, second = tmp_path / "first.db", tmp_path / "second.db"
        table = tmp_path / "trips.csv"
        with SqliteStore(first, create=True) as store:
            store.add_all((FULL, plain_trip(2), replace(plain_trip(3), removed_at=NOON), plain_trip(4)))
            store.change(2, lambda trip: replace(trip, anglers=3))
            kept = store.trips(removed=True)
            table.write_text(written(kept), encoding="utf-8")
        with SqliteStore(second, create=True) as store:
            store.add_all(read_trips(table, BACKGROUND))
            assert store.trips(removed=True) == kept

    @given(st.text())
    def test_formulas_are_disarmed_and_come_back(self, text):
        assert active(inert(text)) == text
        assert not inert(text).startswith(("=", "+", "-", "@", "\t", "\r"))

    def test_instants(self):
        assert instant(NOON) == "2026-08-10T12:00:00Z"
        assert instant(NOON + 0.25) == "2026-08-10T12:00:00.250000Z"
        assert instant(None) == ""


class TestNotebooks:
    def test_little_is_enough(self, read):
        (trip,) = read("spot,start_local,end_local\nledge,2026-08-10 13:00,2026-08-10 15:30\n")
        assert (trip.start, trip.end) == (NOON, NOON + 2.5 * HOUR)
        assert (trip.spot_name, trip.shore, trip.zone) == ("Long ledge", "A shore", "Europe/London")
        assert (trip.anglers, trip.catches, trip.forecast) == (1, (), None)

    def test_reading_it_twice_gives_the_same_trip(self, read):
        text = "spot,start_local,end_local\nledge,2026-08-10 13:00,2026-08-10 15:30\n"
        assert read(text) == read(text)

    def test_counts_of_fish(self, read):
        (trip,) = read(
            "spot,start_utc,end_utc,species,caught,kept\n"
            "ledge,2026-08-10T12:00Z,2026-08-10T14:00Z,Flounder,3,1\n"
            "ledge,2026-08-10T12:00Z,2026-08-10T14:00Z,Bass,0,\n"
            "\n"
        )
        flounder = (Fish(True), Fish(False), Fish(False))
        assert trip.catches == (Catch("Flounder", flounder), Catch("Bass"))

    def test_points_without_a_word_of_when_are_hindsight(self, read):
        (trip,) = read("spot,start_utc,end_utc,points\nledge,2026-08-10T12:00Z,2026-08-10T14:00Z,71.5\n")
        assert (trip.forecast.points, trip.forecast.made) == (71.5, Made.LATER)

    @pytest.mark.parametrize("chance", [0.0, 0.5, 1.0])
    def test_a_chance_from_never_to_always(self, read, chance):
        row = f"ledge,2026-08-10T12:00Z,2026-08-10T14:00Z,71.5,{chance}\n"
        (trip,) = read(f"spot,start_utc,end_utc,points,chance\n{row}")
        assert trip.forecast.chance == chance

    def test_a_table_of_one_s_own_zone(self, read):
        (trip,) = read(
            "time_zone,spot,start_local,end_local\n"
            "America/Chicago,ledge,2026-08-10T07:00,2026-08-10T16:00:00+02:00\n",
            Background("A shore", None, {}, NOON),
        )
        assert (trip.start, trip.end) == (NOON, NOON + 2 * HOUR)


ROW = "spot,start_utc,end_utc,{}\nledge,2026-08-10T12:00Z,2026-08-10T14:00Z,{}\n"


class TestProblems:
    @pytest.mark.parametrize(
        ("column", "cell"),
        [
            ("anglers", "two"),
            ("anglers", "0"),
            ("fished_for_s", "-5"),
            ("fish", "kept 38 cm"),
            ("fish", "kept nan m"),
            ("seen", "turned 2026-08-10T12:00Z"),
            ("seen", "drift 2026-08-10T12:00:00Z"),
            ("lead_held_kg", "1e999"),
            ("water_temperature_degC", "64"),
            ("clarity", "pea soup"),
            ("points", "101"),
            ("chance", "1.5"),
            ("points_by_factor", "flow 3"),
            ("forecast_made_utc", "yesterday"),
            ("logged_utc", "2026-08-10T12:00"),
            ("state", "done"),
            ("trip", "-1"),
            ("kept", "1.5"),
            ("kept", "2000"),
            ("words", '"a\x07b"'),
        ],
    )
    def test_a_cell(self, read, column, cell):
        extra = (",points,species", ",50,Bass") if column not in {"points"} else (",species", ",Bass")
        ((where, told),) = problems(read, ROW.format(column + extra[0], cell + extra[1]))
        assert where.startswith("line 2 ")
        assert told

    def test_all_at_once_with_their_lines(self, read):
        text = (
            "spot,start_utc,end_utc,species,kept\n"
            ",2026-08-10T12:00Z,2026-08-10T14:00Z,,\n"
            "ledge,2026-08-10T12:00Z,2026-08-10T11:00Z,,\n"
            "ledge,noon,2026-08-10T14:00Z,,\n"
            "ledge,2026-08-11T12:00Z,2026-08-11T14:00Z,,2\n"
            "ledge,2026-08-12T12:00Z,2026-08-12T14:00Z\n"
        )
        assert [where for where, _ in problems(read, text)] == [
            "line 6",
            "line 2 spot",
            "line 3 end",
            "line 4 start_utc",
            "line 5 species",
        ]

    @pytest.mark.parametrize(
        ("text", "told"),
        [
            ("", "no column spot"),
            ("spot,start_utc\n", "no column end_utc or end_local"),
            ("spot,start_utc,end_utc,speces\n", "'species'?"),
            ("spot,spot,start_utc,end_utc\n", "the column 'spot' twice"),
            ('spot,start_utc,end_utc\n"ledge', "not CSV"),
        ],
    )
    def test_the_table(self, read, text, told):
        assert any(told in text for _, text in problems(read, text))

    def test_counts_that_contradict_the_fish(self, read):
        text = ROW.format("species,kept,fish", "Bass,2,kept; released")
        assert [where for where, _ in problems(read, text)] == ["line 2 kept"]

    def test_rows_of_one_trip_that_differ(self, read):
        text = (
            "uid,spot,start_utc,end_utc,species,anglers\n"
            "a,ledge,2026-08-10T12:00Z,2026-08-10T14:00Z,Bass,1\n"
            "a,ledge,2026-08-10T12:00Z,2026-08-10T14:00Z,Eel,2\n"
        )
        ((where, told),) = problems(read, text)
        assert where == "line 3 anglers"
        assert "'1' in line 2 of this trip" in told

    def test_rows_of_one_number_are_one_trip(self, read):
        text = (
            "trip,spot,start_utc,end_utc,species\n"
            "7,ledge,2026-08-10T12:00Z,2026-08-10T14:00Z,Bass\n"
            "7,ledge,2026-08-10T12:00Z,2026-08-10T15:00Z,Eel\n"
        )
        ((where, _),) = problems(read, text)
        assert where == "line 3 end_utc"

    @pytest.mark.parametrize("year", ["0001", "9999"])
    def test_a_year_of_another_age(self, read, year):
        for offset in ("", "+14:00", "-12:00"):
            text = (
                f"spot,start_local,end_local\nledge,{year}-01-01 00:00{offset},{year}-12-31 23:59{offset}\n"
            )
            assert problems(read, text)[0][0] == "line 2 start"

    def test_kept_and_released_count_together(self, read):
        text = ROW.format("species,kept,released", f"Bass,{MOST_FISH - 1},2")
        ((where, told),) = problems(read, text)
        assert where == "line 2 caught" and str(MOST_FISH) in told

    def test_local_times_without_a_zone(self, read):
        text = "spot,start_local,end_local\nledge,2026-08-10 13:00,2026-08-10 15:30\n"
        found = problems(read, text, Background("A shore", None, {}, NOON))
        assert {where for where, _ in found} == {"line 2 start_local", "line 2 end_local"}

    def test_no_such_zone_and_no_such_file(self, read, tmp_path):
        text = ROW.format("time_zone", "Europe/Atlantis")
        assert problems(read, text)[0][0] == "line 2 time_zone"
        with pytest.raises(FileProblemsError, match="no such file"):
            read_trips(tmp_path / "none.csv", BACKGROUND)
