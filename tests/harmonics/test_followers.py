"""Secondary stations told in a file: every form of difference, in either unit, and what is refused."""

import re

import numpy as np
import pytest

from harmonics.errors import FileProblemsError
from harmonics.files.station_file import read_station_file
from harmonics.stations.tides import high_low_waters
from tests.harmonics.conftest import utc

FOOT = 0.3048
HEAD = 'title = "Shore"\ntime_zone = "UTC"\nunits = "metres"\n'
# S2 is highest at phase / 30 hours UTC, twice a day, and has neither node factor nor drift.
REFERENCE = """
[[stations]]
id = "port"
name = "Port"
latitude = 50.0
longitude = -2.0
datum = "Chart datum"
mean_level = {mean}
length_unit = "{unit}"
constituents = [{waves}]
"""
FOLLOWER = """
[[stations]]
id = "cove"
name = "Cove"
reference = "port"
{more}
high_water = {{ {high} }}
low_water = {{ {low} }}
"""
SPRING_AND_NEAP = (
    '{ name = "M2", amplitude = 1.6, phase = 40.0 }, { name = "S2", amplitude = 0.7, phase = 90.0 }'
)


def clock(t: float) -> str:
    """Time of day to the nearest minute."""
    minutes = int(np.floor(t % 86400.0 / 60.0 + 0.5))
    return f"{minutes // 60:02d}{minutes % 60:02d}"


def s2(high_water: str, amplitude: float) -> str:
    """A tide that is highest at that time of day and 12 hours off it."""
    hours = int(high_water[:2]) + int(high_water[2:]) / 60.0
    return f'{{ name = "S2", amplitude = {amplitude}, phase = {hours * 30.0 % 360.0} }}'


def text_of(waves, high="", low="", mean=2.2, unit="metres", more=""):
    return (
        HEAD
        + REFERENCE.format(mean=mean, unit=unit, waves=waves)
        + FOLLOWER.format(high=high, low=low, more=more)
    )


@pytest.fixture
def turns(tmp_path):
    """Reads a file and gives the turns of port and cove over some days."""

    def read(text, start="2026-03-01 00:00", days=1.0):
        path = tmp_path / "shore.toml"
        path.write_text(text, encoding="utf-8")
        stations = read_station_file(path).stations
        first = utc(start)
        return [high_low_waters(station, first, first + days * 86400.0).turns for station in stations]

    return read


@pytest.fixture
def problems(tmp_path):
    """The problems of a file, as lines."""

    def read(text):
        path = tmp_path / "shore.toml"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(FileProblemsError) as caught:
            read_station_file(path)
        return [str(problem) for problem in caught.value.problems]

    return read


class TestWorkedExamples:
    def test_high_water_by_the_hour(self, turns):
        # Admiralty method example, Barfleur: +51 min at 1500, +44 at 2100; high water 1846 gives 1933
        text = text_of(s2("1846", 2.0), high="minutes_by_hour = { hours = [15, 21], minutes = [51, 44] }")
        port, cove = turns(text)
        assert [clock(t) for t in port.t[port.high]] == ["0646", "1846"]
        assert "1933" in [clock(t) for t in cove.t[cove.high]]

    def test_high_water_by_the_hour_and_an_offset(self, turns):
        # Admiralty method exercise: high water 0638 of 4.2 m; +23 min at 0600, +35 at 1200; +1.1 m
        # (data printed; 0702 and 5.3 m computed by the method)
        high = "offset = 1.1, minutes_by_hour = { hours = [6, 12], minutes = [23, 35] }"
        port, cove = turns(text_of(s2("0638", 2.0), high=high))
        morning = port.high & (port.t < utc("2026-03-01 08:00"))
        assert (clock(port.t[morning][0]), round(port.height[morning][0], 2)) == ("0638", 4.2)
        morning = cove.high & (cove.t < utc("2026-03-01 08:00"))
        assert (clock(cove.t[morning][0]), round(cove.height[morning][0], 2)) == ("0702", 5.3)

    def test_the_same_exercise_in_feet(self, turns):
        high = f"offset = {1.1 / FOOT}, minutes_by_hour = {{ hours = [6, 12], minutes = [23, 35] }}"
        text = text_of(s2("0638", 2.0 / FOOT), high=high, mean=2.2 / FOOT, unit="feet")
        _, cove = turns(text)
        assert cove.height[cove.high] == pytest.approx([5.3, 5.3], abs=1e-3)


class TestByHour:
    def test_straight_there_and_back_and_plain_minutes_on_top(self, turns):
        # high waters from 0000 to 1100 in turn: between 0600 and 1200, and back to 0600 twelve hours on
        for hour in range(12):
            high = "minutes = 5, minutes_by_hour = { hours = [6, 12], minutes = [20, 50] }"
            port, cove = turns(text_of(s2(f"{hour:02d}00", 1.0), high=high), days=3)
            expected = 5.0 + 20.0 + 30.0 * abs(6.0 - hour) / 6.0
            for t in port.t[port.high][:4]:
                assert np.abs(cove.t[cove.high] - t - expected * 60.0).min() < 1.0

    def test_the_tables_clock_is_the_references(self, turns):
        # 0646 UTC is 0146 on a table five hours behind: 21 - 9 x (1.77 - 0)/6 with +21 at 0000, +12 at 0600
        by_hour = "minutes_by_hour = { hours = [0, 6], minutes = [21, 12], utc_offset = -5 }"
        port, cove = turns(text_of(s2("0646", 2.0), high=by_hour), days=3)
        shift = [np.abs(cove.t[cove.high] - t).min() / 60.0 for t in port.t[port.high][:4]]
        assert shift == pytest.approx([21.0 - 9.0 * (1.0 + 46.0 / 60.0) / 6.0] * 4, abs=0.02)

    def test_low_water_has_its_own(self, turns):
        low = "minutes_by_hour = { hours = [0, 6], minutes = [0, 60] }"
        port, cove = turns(text_of(s2("0600", 2.0), low=low), days=3)
        # low water at 0000 and 1200: no shift there, and none of high water at all
        assert np.abs(cove.t[:8] - port.t[:8]).max() < 1.0
        port, cove = turns(text_of(s2("0000", 2.0), low=low), days=3)
        lows = cove.t[~cove.high][:4] - port.t[~port.high][:4]
        assert lows == pytest.approx([3600.0] * 4, abs=1.0)


class TestByHeight:
    @pytest.mark.parametrize(("unit", "metres"), [("metres", 1.0), ("feet", FOOT)])
    def test_factors_and_offsets_straight_through_both_pairs(self, turns, unit, metres):
        # springs 4.5 m, neaps 3.1 m at the port: factor 0.80 and 0.70, offset -0.6 and -0.2 m on top of 0.1
        heights = f"heights = [{4.5 / metres}, {3.1 / metres}]"
        high = (
            f"offset = {0.1 / metres}, factor_by_height = {{ {heights}, factors = [0.80, 0.70] }}, "
            f"offset_by_height = {{ {heights}, offsets = [{-0.6 / metres}, {-0.2 / metres}] }}"
        )
        text = text_of(SPRING_AND_NEAP, high=high, low="factor = 0.5", more=f'length_unit = "{unit}"')
        port, cove = turns(text, days=60)
        assert len(port) == len(cove) > 220
        here = port.height[port.high]
        assert here.max() - here.min() > 1.0
        share = (here - 3.1) / 1.4
        expected = here * (0.70 + 0.10 * share) + (-0.2 - 0.4 * share) + 0.1
        assert cove.height[cove.high] == pytest.approx(expected, abs=1e-6)
        assert cove.height[~cove.high] == pytest.approx(0.5 * port.height[~port.high], abs=1e-6)

    def test_heights_are_in_the_references_unit_where_the_follower_names_none(self, turns):
        high = "offset = 1.0, offset_by_height = { heights = [14, 10], offsets = [-2, 0] }"
        waves = SPRING_AND_NEAP.replace("1.6", "5.2").replace("0.7", "2.3")
        port, cove = turns(text_of(waves, high=high, mean=7.0, unit="feet"), days=30)
        feet = port.height[port.high] / FOOT
        assert cove.height[cove.high] / FOOT == pytest.approx(
            feet + 1.0 - 2.0 * (feet - 10.0) / 4.0, abs=1e-5
        )


class TestRefused:
    def test_every_problem_of_both_turns_at_once(self, problems):
        high = (
            "minutes_by_hour = { hours = [6, 6], minutes = [1, 2] }, "
            "factor_by_height = { heights = [2, 2], factors = [1, 2] }"
        )
        low = "offset_by_height = { heights = [1, 1], offsets = [0, 1] }"
        found = problems(text_of(s2("0600", 1.0), high=high, low=low))
        assert [line.removeprefix("stations[1].") for line in found] == [
            "high_water.minutes_by_hour.hours: found 6 and 6; expected two hours that differ",
            "high_water.factor_by_height.heights: found 2 twice; expected two heights that differ",
            "low_water.offset_by_height.heights: found 1 twice; expected two heights that differ",
        ]

    def test_keys_and_what_they_refer_to_at_once(self, problems):
        high = "factor = -1, minutes_by_hour = { hours = [6, 6], minutes = [1, 2] }"
        text = text_of(s2("0600", 1.0), high=high, low="factor_by_height = { heights = [1, 2] }")
        # the pair of hours can't be checked against each other with a reference that is none
        found = problems(text.replace('reference = "port"', 'reference = "quay"'))
        assert sorted(line.split(": found")[0] for line in found) == [
            "stations[1].high_water.factor",
            "stations[1].low_water.factor_by_height.factors",
            "stations[1].reference",
        ]
        found = problems(text)
        assert sorted(line.split(": found")[0] for line in found) == [
            "stations[1].high_water.factor",
            "stations[1].high_water.minutes_by_hour.hours",
            "stations[1].low_water.factor_by_height.factors",
        ]
        (found,) = problems(text_of(s2("0600", 1.0)).replace('reference = "port"', "reference = 5"))
        assert found.startswith("stations[1].reference: found 5; expected 1 to 64 letters")

    @pytest.mark.parametrize("hours", ["0, 24", "24, 0", "3, 3"])
    def test_hours_that_are_one(self, problems, hours):
        high = f"minutes_by_hour = {{ hours = [{hours}], minutes = [10, 20] }}"
        (found,) = problems(text_of(s2("0600", 1.0), high=high))
        assert "stations[1].high_water.minutes_by_hour.hours" in found
        assert "two hours that differ" in found

    @pytest.mark.parametrize(
        ("high", "where", "expected"),
        [
            ("factor = 0", "high_water.factor", "a factor above 0"),
            ("factor = -0.5", "high_water.factor", "a factor above 0"),
            ("minutes = 800", "high_water.minutes", "minutes from -720 to 720"),
            ("hours = 3", "high_water.hours", "minutes_by_hour"),
            (
                "minutes_by_hour = { hours = [6], minutes = [1, 2] }",
                "high_water.minutes_by_hour.hours",
                "two hours from 0 to 24",
            ),
            (
                "minutes_by_hour = { hours = [6, 25], minutes = [1, 2] }",
                "high_water.minutes_by_hour.hours[1]",
                "two hours from 0 to 24",
            ),
            (
                "minutes_by_hour = { hours = [6, 12] }",
                "high_water.minutes_by_hour.minutes",
                "two differences in minutes",
            ),
            (
                "factor_by_height = { heights = [1, 2], factors = [1, -1] }",
                "high_water.factor_by_height.factors[1]",
                "above 0",
            ),
        ],
    )
    def test_one_key_found_and_expected(self, problems, high, where, expected):
        (found,) = problems(text_of(s2("0600", 1.0), high=high))
        assert found.startswith(f"stations[1].{where}: found ")
        assert expected in found.split("; expected ")[1]

    def test_a_reference_that_follows_another(self, problems):
        third = (
            FOLLOWER.format(high="", low="", more="").replace('"cove"', '"pool"').replace('"port"', '"cove"')
        )
        (found,) = problems(text_of(s2("0600", 1.0)) + third)
        assert found.startswith("stations[2].reference: found 'cove'; expected the id of one of [[stations]]")
        assert "port" in found


class TestDifferencesThatSwap:
    WORDS = "; expected differences that keep high and low waters, slacks and maxima in order"

    @pytest.mark.parametrize(
        ("high", "low", "words"),
        [
            ("minutes = 500", "", "high water of 2020-03-0[12]T..:.. UTC at the reference after the low"),
            ("", "minutes = -400", "high water of .* after the low water"),
            ("minutes = -100", "minutes = 300", "low water of .* after the high water"),
            ("factor = 0.2", "factor = 2", "high water of .* below the low water"),
            ("offset = -4", "offset = 1", "high water of .* below the low water"),
        ],
    )
    def test_reading_refuses_them(self, problems, high, low, words):
        (found,) = problems(text_of(SPRING_AND_NEAP, high=high, low=low))
        assert re.match(f"stations\\[1\\]: found the differences put the {words}", found)
        assert found.endswith(" that follows it" + self.WORDS)

    @pytest.mark.parametrize("practice", ["yearly", "continuous"])
    def test_whatever_the_practice(self, problems, turns, practice):
        text = f'node_factors = "{practice}"\n' + text_of(SPRING_AND_NEAP, high="minutes = {}")
        (found,) = problems(text.replace("{}", "500"))
        assert "the differences put" in found
        _, cove = turns(text.replace("{}", "200"), days=20)
        assert len(cove) > 70

    def test_swaps_of_a_tide_that_hardly_moves_are_read(self, turns):
        """A quarter-diurnal wave makes double waters a few centimetres apart: they become stands."""
        double = (
            '{ name = "S2", amplitude = 1.0, phase = 0.0 }, { name = "S4", amplitude = 0.3, phase = 180 }'
        )
        port, cove = turns(text_of(double, low="offset = 0.15"), days=10)
        assert len(cove) < len(port)

    def test_each_station_is_named_and_the_first_fault_of_a_table_alone(self, problems):
        second = FOLLOWER.format(high="minutes = 500", low="", more="").replace('"cove"', '"pool"')
        found = problems(text_of(SPRING_AND_NEAP, high="minutes = 500") + second)
        assert [line.split(":")[0] for line in found] == ["stations[1]", "stations[2]"]
        # what is left of a table with a slip is not tried: the slip may be all there is
        (found,) = problems(text_of(SPRING_AND_NEAP, high='minutes = "500"', low="minutes = 500"))
        assert found.startswith("stations[1].high_water.minutes: found '500'")
