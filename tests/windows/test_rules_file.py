"""[[rules]], [[quarry]] and [log]: what a file may say, and every problem in it. All rules are invented."""

from datetime import date

import pytest

from harmonics.errors import FileProblemsError
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from tests.cli.runs import DEMOS
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head
from windows.shoreline.quarry import Quarry
from windows.shoreline.quarry_file import parse_temperature
from windows.shoreline.rules import Measured, Rule, Season
from windows.shoreline.rules_file import parse_length, parse_season
from windows.shoreline.shore import read_shore
from windows.shoreline.spots import LightPreference, SpeedRange, WantedWater

WHOLE = """
[log]
path = "kept/trips.db"

[[rules]]
species = "Flounder"
least_length = "35cm"
greatest_length = "30in"
measured = "total"
bag = 4
season = ["03-01 to 05-31", "11-15 to 01-31"]
source = "a notice  at the ramp"
checked = 2026-03-01

[[rules]]
species = "Bass"

[[quarry]]
name = "Flounder"
light = "low"
water = "moving"
speeds = { nothing_below = 0.1, full_from = 0.3, full_to = 0.9, nothing_above = 1.5 }
months = ["Sep", "october"]
temperature = ["54F", "24C"]

[[quarry]]
name = "Bass"
"""


@pytest.fixture
def read(tmp_path):
    def reader(tables: str, keys: str = ""):
        path = tmp_path / "shore.toml"
        path.write_text(head(more=keys) + SIMPLE_STATION + SIMPLE_SPOT + tables, encoding="utf-8")
        return read_shore(path)

    return reader


def test_a_whole_file(read, tmp_path):
    shore = read(WHOLE)
    assert shore.log == tmp_path / "kept" / "trips.db"
    assert shore.rules == (
        Rule(
            "Flounder",
            0.35,
            0.762,
            Measured.TOTAL,
            4,
            (Season((3, 1), (5, 31)), Season((11, 15), (1, 31))),
            "a notice at the ramp",
            date(2026, 3, 1),
        ),
        Rule("Bass"),
    )
    knot = METRES_PER_SECOND_PER_KNOT
    assert shore.quarry == (
        Quarry(
            "Flounder",
            LightPreference.LOW,
            SpeedRange(0.1 * knot, 0.3 * knot, 0.9 * knot, 1.5 * knot),
            WantedWater.MOVING,
            (9, 10),
            (pytest.approx(22 / 1.8), 24.0),
        ),
        Quarry("Bass"),
    )


def test_a_file_without_them(read):
    shore = read("")
    assert (shore.log, shore.rules, shore.quarry) == (None, (), ())


def test_the_project_ships_no_rules():
    assert DEMOS
    assert all(read_shore(demo).rules == () for demo in DEMOS)


@pytest.mark.parametrize(
    ("text", "where", "found"),
    [
        ('[[rules]]\nspecies = ""', "rules[0].species", "''"),
        ("[[rules]]", "rules[0].species", "nothing"),
        ('[[rules]]\nspecies = "x"\nleast_length = 35', "rules[0].least_length", "35"),
        ('[[rules]]\nspecies = "x"\nleast_length = "35"\nmeasured = "fork"', "rules[0].least_length", "'35'"),
        (
            '[[rules]]\nspecies = "x"\nleast_length = "0cm"\nmeasured = "fork"',
            "rules[0].least_length",
            "'0cm'",
        ),
        ('[[rules]]\nspecies = "x"\nleast_length = "35cm"', "rules[0].measured", "missing"),
        ('[[rules]]\nspecies = "x"\nmeasured = "snout"', "rules[0].measured", "'snout'"),
        (
            '[[rules]]\nspecies = "x"\nmeasured = "fork"\nleast_length = "35cm"\ngreatest_length = "349mm"',
            "rules[0].greatest_length",
            "'349mm'",
        ),
        ('[[rules]]\nspecies = "x"\nbag = -1', "rules[0].bag", "-1"),
        ('[[rules]]\nspecies = "x"\nbag = 1.5', "rules[0].bag", "1.5"),
        ('[[rules]]\nspecies = "x"\nseason = []', "rules[0].season", "a list of 0"),
        ('[[rules]]\nspecies = "x"\nseason = ["02-30 to 03-01"]', "rules[0].season[0]", "'02-30 to 03-01'"),
        ('[[rules]]\nspecies = "x"\nseason = ["May to June"]', "rules[0].season[0]", "'May to June'"),
        ('[[rules]]\nspecies = "x"\nchecked = "2026-03-01"', "rules[0].checked", "'2026-03-01'"),
        ('[[rules]]\nspecies = "x"\nweight = 1', "rules[0].weight", "an unknown key"),
        ("rules = 3", "rules", "3"),
        ('[[quarry]]\nlight = "low"', "quarry[0].name", "missing"),
        ('[[quarry]]\nname = "x"\n[[quarry]]\nname = " X"', "quarry[1].name", "a second time"),
        ('[[quarry]]\nname = "x"\nlight = "bright"', "quarry[0].light", "'bright'"),
        ('[[quarry]]\nname = "x"\nwater = "still"', "quarry[0].water", "'still'"),
        ('[[quarry]]\nname = "x"\nmonths = ["sep", "9"]', "quarry[0].months[1]", "'9'"),
        ('[[quarry]]\nname = "x"\nmonths = []', "quarry[0].months", "a list of 0"),
        ('[[quarry]]\nname = "x"\ntemperature = ["24C", "12C"]', "quarry[0].temperature", "24C"),
        ('[[quarry]]\nname = "x"\ntemperature = ["12C", "75"]', "quarry[0].temperature[1]", "'75'"),
        ('[[quarry]]\nname = "x"\ntemperature = [12, "24C"]', "quarry[0].temperature[0]", "12"),
        (
            '[[quarry]]\nname = "x"\nspeeds = { full_from = 0.9, full_to = 0.3 }',
            "quarry[0].speeds",
            "0.1, 0.9, 0.3, 2",
        ),
        ("quarry = {}", "quarry", "an empty table"),
        ("[log]", "log.path", "missing"),
        ('[log]\npath = ""', "log.path", "''"),
        ('[log]\npath = "a\\u0000b"', "log.path", "a"),
        ("log = 1", "log", "1"),
    ],
)
def test_problems(read, text, where, found):
    tables, keys = (text, "") if text.startswith("[") else ("", text)
    with pytest.raises(FileProblemsError) as error:
        read(tables, keys)
    (problem,) = error.value.problems
    assert problem.where == where
    assert found in problem.found
    assert problem.expected


def test_lengths():
    assert parse_length("355mm") == parse_length("35.5 cm") == parse_length("0.355m")
    assert parse_length("14IN") == pytest.approx(14 * (0.3048 / 12), rel=1e-15)
    assert parse_length("14", "in") == parse_length("14in")
    for text in ("", "cm", "14", "14ft", "-3cm", "1e2cm", "11m", "١٤cm", "nancm"):
        with pytest.raises(ValueError, match="such as"):
            parse_length(text)


def test_seasons():
    assert parse_season(" 05-01 to 10-15 ") == Season((5, 1), (10, 15))
    assert parse_season("12-01 to 02-29").holds(date(2028, 2, 29))
    assert Season((5, 1), (5, 1)).holds(date(2026, 5, 1))
    assert not Season((5, 1), (5, 1)).holds(date(2026, 5, 2))


def test_temperatures():
    assert parse_temperature("18") == parse_temperature("18 C") == parse_temperature("18°c") == 18.0
    assert parse_temperature("64.4F") == pytest.approx(18.0)
    assert parse_temperature("-1.5C") == -1.5
    with pytest.raises(ValueError, match='write "64F"'):
        parse_temperature("64")
    for text in ("", "warm", "18K", "46C", "-4C", "200F", "1e1"):
        with pytest.raises(ValueError, match="such as"):
            parse_temperature(text)
