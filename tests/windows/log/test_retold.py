"""A kept trip as it would be typed: each part by hand, in either kind of unit, by the trip's own clock."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from harmonics.units import LengthUnit
from tests.windows.log.made_trips import FULL, HOUR, NOON, plain_trip
from windows.log.retold import retold
from windows.log.trips import Catch, Fish


def test_a_whole_trip_in_metres_and_in_feet():
    """12:00 UTC is 13:00 in London's summer; 0.1 + 0.2 m/s are 0.58 kn; 0.17009713875 kg are 6 oz."""
    found = retold(replace(FULL, zone="Europe/London"), LengthUnit.METRES)
    assert found["start"] == "2026-08-10 13:00"
    assert (found["anglers"], found["fished_for"], found["nothing"]) == ("2", "90min", "")
    assert found["kept"] == "Flounder 38.5@13:01 40"
    assert found["released"] == "Flounder 31 x1"
    assert found["sought"] == '=SUM(A1), "sea" bass'
    assert found["measured"] == ""
    assert (found["lead"], found["temperature"]) == ("170.0971g", "17.7778C")
    assert (found["wind"], found["clarity"]) == ("10kn 225", FULL.clarity.value)
    assert (found["turned_out"], found["turned_in"]) == ("2026-08-10 12:40", "2026-08-10 17:00")
    assert found["drift"] == "0.58@2026-08-10 14:00"
    assert (found["bared"], found["covered"]) == ("2026-08-10 08:00", "2026-08-10 10:00")
    assert (found["bait"], found["quarry"], found["words"]) == (FULL.bait, FULL.quarry, FULL.words)
    feet = retold(FULL, LengthUnit.FEET)
    assert (feet["lead"], feet["kept"].split()[2]) == ("6oz", "15.748")


def test_a_plain_trip_says_little():
    found = retold(plain_trip(), LengthUnit.METRES)
    assert {key: value for key, value in found.items() if value} == {
        **{"spot": "ledge", "start": "2026-08-10 12:00", "end": "2026-08-10 14:00"},
        **{"anglers": "1", "nothing": "yes"},
    }
    assert retold(plain_trip(fished=False), LengthUnit.METRES)["nothing"] == ""


@pytest.mark.parametrize(
    ("speed", "wind_from", "told"),
    [(None, None, ""), (0.0, None, "calm"), (1852 / 3600, None, "1kn"), (1852 / 720, 7.0, "5kn 7")],
)
def test_wind(speed, wind_from, told):
    trip = plain_trip(wind_speed=speed, wind_from=wind_from)
    assert retold(trip, LengthUnit.METRES)["wind"] == told


def test_how_fish_were_measured_is_told_where_all_were_measured_so():
    fork = FULL.catches[0].fish[0]
    trip = plain_trip(catches=(Catch("Bass", (fork, replace(fork, t=None), Fish(True))),))
    assert retold(trip, LengthUnit.METRES)["measured"] == fork.measured.value
    assert retold(trip, LengthUnit.METRES)["kept"] == "Bass 38.5@12:01 38.5 x1"
    dated = plain_trip(catches=(Catch("Bass", (Fish(False, t=NOON + HOUR),)),))
    assert retold(dated, LengthUnit.METRES)["released"] == "Bass x1@13:00"


def test_an_hour_that_comes_twice_is_told_with_its_offset():
    start = datetime(2026, 10, 25, 0, 30, tzinfo=UTC).timestamp()
    found = retold(plain_trip(start=start, zone="Europe/London"), LengthUnit.METRES)
    assert (found["start"], found["end"]) == ("2026-10-25 01:30+01:00", "2026-10-25 02:30")
