"""Refusals word for word: a person who reads one has nothing else to go by."""

import json
import math

import numpy as np
import pytest

from harmonics.errors import EbblightError, FileProblemsError
from harmonics.files.agency_tables import TableOptions, import_table
from harmonics.files.published.statements import Fact
from harmonics.files.record_source import RecordSource
from harmonics.files.station_file import read_station_file
from harmonics.fitting.analysis import fit
from harmonics.records.current_reader import holds_currents, read_currents
from harmonics.records.reader import parse_record, read_record
from harmonics.records.splines import curve, even_curve
from harmonics.records.store import read_readings
from harmonics.records.weather import parse_weather, read_weather
from harmonics.records.weather_store import read_known_weather
from harmonics.stations.currents import currents_at
from harmonics.stations.inlet import Inlet, solve_inlets
from harmonics.stations.secondary import secondary_levels
from harmonics.stations.types import (
    CurrentDifferences,
    CurrentStation,
    HeightDifference,
    SecondaryCurrentStation,
    SecondaryStation,
)
from harmonics.sums.waves import NodePractice, waves_by_year
from tests.harmonics.conftest import constants_of, station_of

HEAD = 'title = "Shore"\ntime_zone = "America/Chicago"\nunits = "metres"\n'
KEYS = {
    "id": '"port"',
    "latitude": "29.21",
    "longitude": "-90.04",
    "datum": '"MLLW"',
    "mean_level": "2.0",
    "constituents": '[{ name = "M2", amplitude = 1.0, phase = 40.0 }]',
}


def refusals(call, *args, **keys):
    with pytest.raises(FileProblemsError) as caught:
        call(*args, **keys)
    return [str(problem) for problem in caught.value.problems]


@pytest.fixture
def file(tmp_path):
    """What is said of a station file."""

    def of(text):
        path = tmp_path / "shore.toml"
        path.write_text(text, encoding="utf-8")
        return refusals(read_station_file, path)

    return of


@pytest.fixture
def station(file):
    """What is said of a file with one station, some of its keys changed or left out (None)."""

    def of(**changed):
        lines = [f"{key} = {value}" for key, value in (KEYS | changed).items() if value is not None]
        return file(HEAD + "[[stations]]\n" + "\n".join(lines))

    return of


class TestStationFiles:
    def test_keys_that_go_together(self, station):
        assert station(phase='"local"') == [
            "stations[0].utc_offset: found nothing (the key is missing); expected hours from UTC, "
            'for phase = "local"'
        ]
        assert station(utc_offset="1") == [
            'stations[0].utc_offset: found utc_offset without phase = "local"; expected phase = "local", '
            "or no utc_offset"
        ]
        assert station(mean_level=None) == [
            "stations[0].mean_level: found nothing (the key is missing); expected mean sea level above "
            "the datum"
        ]
        assert station(datum=None) == [
            "stations[0].datum: found nothing (the key is missing); expected what the mean level is above"
        ]

    def test_constituents(self, station):
        wave = '[{ name = "M2", amplitude = 1.0, phase = 40.0 }]'
        assert station(constituents=wave.replace("40.0", "721")) == [
            "stations[0].constituents[0].phase: found 721; expected a phase lag in degrees from -360 to 720"
        ]
        assert station(constituents=wave.replace('"M2"', '""')) == [
            "stations[0].constituents[0].name: found ''; expected a constituent's name, such as M2"
        ]
        assert station(constituents='"none.csv"') == [
            "stations[0].constituents (none.csv): found no such file; expected a constituent table "
            "(CSV: name,amplitude,phase)"
        ]

    def test_no_station_file(self, file, tmp_path):
        assert file("# nothing\n") == [
            "file: found an empty file; expected title, time_zone, units and [[stations]]"
        ]
        assert file("a." * 200 + "b = 1") == [
            "file: found a key nested too deeply; expected lists and tables a few levels deep"
        ]
        assert file("a = 1" + "0" * 5000) == [
            "file: found text that is not TOML: a number of thousands of digits; expected key = value lines "
            "and [[tables]]"
        ]
        assert refusals(read_station_file, tmp_path / "none.toml") == [
            "file: found no such file; expected a TOML file of stations and spots"
        ]

    def test_a_station_of_no_table(self, file):
        assert file(HEAD + "stations = [5]\n") == ["stations[0]: found 5; expected a [[stations]] table"]


class TestPublishedTables:
    def test_documents(self):
        table = {"name": "M2", "amplitude": 1, "phase": 2}
        huge = json.dumps([table]).replace("1", "1" * 5000)
        assert refusals(import_table, huge, "t.json") == [
            "file: found text that is not JSON (brackets too deep, or a number of thousands of digits); "
            "expected a JSON table"
        ]

    def test_texts_without_a_table(self):
        assert refusals(import_table, " \n", "t.txt") == [
            "file: found no text; expected a header with name, amplitude and phase"
        ]

    def test_mean_flows_of_both_axes(self):
        text = (
            "Amplitudes in m/s, Greenwich phases\n"
            "name,major amplitude,major phase,minor amplitude,minor phase,major mean speed,"
            "minor mean speed\nM2,0.5,10,0.1,100,20,11\n"
        )
        directions = {Fact.FLOOD: 30.0, Fact.ACROSS: 120.0}
        assert refusals(import_table, text, "t.txt", TableOptions(directions=directions)) == [
            "mean flow: found 38.8769 knots; expected from -20 to 20 knots",
            "mean flow across: found 21.3823 knots; expected from -20 to 20 knots",
        ]


class TestRecords:
    @pytest.mark.parametrize(
        ("read", "expected"),
        [
            (read_record, "a CSV file of times and levels"),
            (read_currents, "a CSV file of times and currents"),
            (holds_currents, "a CSV file of readings"),
            (read_weather, "a CSV file of times and weather"),
            (read_known_weather, "a CSV file of times and weather"),
            (lambda path: read_readings(RecordSource(path)), "a CSV file of times and levels"),
        ],
    )
    def test_no_such_file(self, read, expected, tmp_path):
        assert refusals(read, tmp_path / "none.csv") == [f"file: found no such file; expected {expected}"]

    @pytest.mark.parametrize(
        ("lines", "told"),
        [
            (
                ("time_utc,wind_speed [m/s],wind_speed [kn]", "2026-08-10 06:00,1,2"),
                ["column 'wind_speed [kn]': found a second wind_speed; expected each quantity once"],
            ),
            (
                ("wind_speed [m/s],air_temperature [degC]", "1,2"),
                [
                    "header: found columns wind_speed [m/s], air_temperature [degC]; expected one column of "
                    "times, named as in 'time_utc'"
                ],
            ),
            (
                ("time_utc,wind_speed [m/s]", *["2026-08-10 06:00,1"] * 3),
                [
                    "line 3: found a time that stands in the file twice; expected each time once",
                    "line 4: found a time that stands in the file twice; expected each time once",
                ],
            ),
            (
                ("time_utc,wind_speed", "2026-08-10 06:00,1"),
                [
                    "column 'wind_speed': found no unit; expected one of m/s, kn, km/h, mph in brackets, "
                    "as in 'wind_speed [m/s]'"
                ],
            ),
            (
                ("time_utc,wind_speed [m/s]", "2026-08-10 06:00,x"),
                ["line 2: found 'x'; expected a number under 'wind_speed [m/s]'"],
            ),
            (
                ("time_utc,colour", "2026-08-10 06:00,1"),
                [
                    "header: found columns time_utc, colour; expected one or more of wind_speed, "
                    "wind_speed_of_gust, wind_from_direction, air_pressure_at_mean_sea_level, "
                    "air_temperature, sea_surface_temperature, thunderstorm_probability, "
                    "precipitation_amount, with the unit in brackets"
                ],
            ),
            (
                ("time,wind_speed [m/s]", "2026-08-10 06:00,1"),
                [
                    "column 'time': found a clock without a zone; expected an offset in every stamp "
                    "(2010-01-31T06:00Z), a header that says UTC, or a zone given"
                ],
            ),
        ],
    )
    def test_weather(self, lines, told):
        assert refusals(parse_weather, "\n".join(lines), "w.csv") == told

    @pytest.mark.parametrize(
        ("lines", "told"),
        [
            (
                ("moment,level_m", "2026-08-10 06:00,2"),
                [
                    "header: found columns moment, level_m; expected one column of times, named as in "
                    "'time_utc'"
                ],
            ),
            (
                ("when,level_m,stage_m", "2026-08-10 06:00Z,1,2"),
                [
                    "header: found columns level_m, stage_m; expected one column of levels, named as in "
                    "'level_m', or which of them told (level_column)"
                ],
            ),
            (
                ("time_utc,wind_m", "2026-08-10 06:00,2"),
                [
                    "header: found columns time_utc, wind_m; expected one column of levels, named as in "
                    "'level_m'"
                ],
            ),
            (
                ("time_utc,wave height [m],water temperature [degC]", "2026-08-10 06:00,2,3"),
                [
                    "header: found columns time_utc, wave height [m], water temperature [degC], of which "
                    "wave height [m] and water temperature [degC] can't be a level; expected one column of "
                    "levels, named as in 'level_m'"
                ],
            ),
            (
                ("time_utc,level_m", "2026-08-10 06:00,x"),
                ["line 2: found 'x'; expected a level from -1,000 to 1,000, or an empty field"],
            ),
            (
                ("time_utc,level_m", "2026-08-10 06:00,"),
                ["file: found no reading in 1 rows; expected levels, with gaps left empty"],
            ),
        ],
    )
    def test_levels(self, lines, told):
        assert refusals(parse_record, "\n".join(lines), "l.csv") == told


TIMES = "times must be finite POSIX seconds"
M2 = constants_of([("M2", 1.0, 40.0)])


class TestTimes:
    def test_of_no_number(self):
        own = CurrentStation("a", "A", 0.0, 0.0, 90.0, 270.0, 0.0, M2)
        follower = SecondaryCurrentStation("b", "B", None, None, 90.0, 270.0, own, CurrentDifferences())
        cove = SecondaryStation(
            "c", "C", None, None, station_of([("M2", 1.0, 40.0)]), HeightDifference(), HeightDifference()
        )
        for call in (
            lambda: currents_at(follower, [0.0, math.nan]),
            lambda: secondary_levels(cove, [0.0, math.inf]),
            lambda: list(waves_by_year(M2, NodePractice.YEARLY, math.nan, 0.0)),
            lambda: list(waves_by_year(M2, NodePractice.YEARLY, 0.0, math.inf)),
        ):
            with pytest.raises(ValueError, match=f"^{TIMES}$"):
                call()

    def test_that_do_not_increase(self):
        t = 3600.0 * np.arange(800)
        for times in (t[::-1], np.where(t == 7200.0, np.nan, t)):
            with pytest.raises(ValueError, match=r"^times must be finite and increase$"):
                fit(times, np.sin(t / 7000.0))

    def test_beyond_the_knots(self):
        for call in (curve, lambda knots, start, t: even_curve(knots, start, t[0], 900.0, 4)):
            with pytest.raises(ValueError, match=r"^times beyond the knots of the curve$"):
                call(np.zeros(8), 0.0, np.array([0.0]))


def test_a_sea_of_no_number():
    inlet = Inlet(1e6, 100.0, 2.0)
    with pytest.raises(ValueError, match=r"^the sea's level must be finite throughout$"):
        solve_inlets([inlet], [0.0, math.nan], 60.0)


def test_one_level_alone():
    with pytest.raises(EbblightError, match=r"^found one level alone, 1\.500 m; expected a tide's$"):
        fit(3600.0 * np.arange(800), np.full(800, 1.5))


@pytest.mark.parametrize(
    ("names", "days", "trend", "told"),
    [
        (["M2", "SA", "SSA"], 16, False, "SA from the mean"),
        (["M2", "SA", "SSA"], 16, True, "SA from the trend"),
        (["R2", "S2", "T2", "K2"], 8, False, "(R2|S2|T2|K2) from (R2|S2|T2|K2)"),
    ],
)
def test_lines_that_are_one(names, days, trend, told):
    t = 1e9 + 3600.0 * np.arange(24 * days)
    with pytest.raises(EbblightError, match=rf"^the record can't tell {told}; fit fewer constituents$"):
        fit(t, np.sin(t / 7000.0), names=names, trend=trend)
