"""A first file from answers: what is lacking, what follows from the others, and the texts."""

import tomllib
from dataclasses import replace
from types import SimpleNamespace

import pytest

from harmonics.units import LengthUnit
from tests.harmonics.conftest import constants_of
from windows.shoreline.first_file import NEEDED, Answers, first_texts, lacking, with_defaults, with_table

ANSWERS = Answers("Long Pier", 50.1, -5.2, "a board", 3.0, "The ledge")


def table(unit=LengthUnit.METRES, mean_level=None, **place):
    said = {"station": None, "latitude": None, "longitude": None, "datum": None, **place}
    told = SimpleNamespace(**{key: value and SimpleNamespace(value=value) for key, value in said.items()})
    rows = constants_of([("M2", 1.5, 120.0), ("S2", 0.6, 160.0)])
    return SimpleNamespace(
        constants=rows, unit=unit, mean_level=mean_level, facts=SimpleNamespace(place=told)
    )


def test_what_is_lacking_in_the_order_it_is_asked_for():
    assert lacking(Answers()) == NEEDED
    assert lacking(replace(ANSWERS, datum=None, latitude=None)) == ("latitude", "datum")
    assert lacking(ANSWERS) == ("time_zone",)
    assert lacking(replace(ANSWERS, time_zone="Europe/London")) == ()
    with pytest.raises(ValueError, match=r"lacking: spot$"):
        first_texts(replace(ANSWERS, spot=None), table())
    with pytest.raises(ValueError, match=r"lacking: mean_level$"):
        first_texts(replace(ANSWERS, mean_level=None), table())


def test_what_a_table_says_fills_only_what_was_not_answered():
    found = table(LengthUnit.FEET, 1.524, station="Boston", latitude=42.35, longitude=-71.05, datum="MLLW")
    said = with_table(Answers(datum="a board"), found)
    assert (said.station_name, said.latitude, said.longitude) == ("Boston", 42.35, -71.05)
    assert (said.datum, said.mean_level, said.spot) == ("a board", pytest.approx(5.0), None)
    assert with_table(ANSWERS, found) == ANSWERS
    assert with_table(Answers(), table()) == Answers()


def test_what_follows_from_the_others():
    found = with_defaults(ANSWERS, table(LengthUnit.FEET))
    assert (found.title, found.units, found.time_zone) == ("Long Pier", "feet", "Europe/London")
    assert (found.spot_latitude, found.spot_longitude) == (50.1, -5.2)
    given = replace(
        ANSWERS,
        title="Home",
        units="metres",
        spot_latitude=50.2,
        spot_longitude=-5.1,
        time_zone="Europe/Paris",
    )
    assert with_defaults(given, table(LengthUnit.FEET)) == given
    for place in ({"latitude": None}, {"longitude": None}):
        assert with_defaults(replace(ANSWERS, **place), table()).time_zone is None


def test_the_texts():
    made = first_texts(replace(ANSWERS, spot_longitude=-5.1), table(), ("taken from a table",))
    assert made.name == "long-pier.toml"
    told = tomllib.loads(made.text)
    (station,), (spot,) = told["stations"], told["spots"]
    assert (station["id"], station["name"], station["datum"]) == ("long-pier", "Long Pier", "a board")
    assert (station["latitude"], station["longitude"], station["mean_level"]) == (50.1, -5.2, 3.0)
    assert (spot["latitude"], spot["longitude"]) == (50.1, -5.1)
    assert (spot["id"], spot["name"], spot["station"]) == ("the-ledge", "The ledge", "long-pier")
    assert (told["title"], told["time_zone"], told["units"]) == ("Long Pier", "Europe/London", "metres")
    (name,) = made.beside
    assert station["constituents"] == name == "long-pier.csv"
    assert made.beside[name].startswith("# taken from a table\n")
    assert "\nM2,1.50000,120.000\n" in made.beside[name]
    feet = tomllib.loads(first_texts(ANSWERS, table(LengthUnit.FEET)).text)
    assert feet["units"] == "feet"
    assert feet["stations"][0]["mean_level"] == pytest.approx(3.0)
