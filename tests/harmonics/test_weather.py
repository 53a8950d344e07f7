"""Weather files: standard names, units, gaps, and every problem told with its place."""

import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harmonics.errors import FileProblemsError
from harmonics.records.quantities import SCALES, Quantity
from harmonics.records.weather import LONGEST_STEP, Weather, parse_weather, read_weather
from tests.conftest import PUBLISHED
from tests.harmonics.conftest import utc

HOUR = 3600.0


def parsed(*lines, zone=None):
    return parse_weather("\n".join(lines), "weather.csv", zone)


def problems_of(*lines):
    with pytest.raises(FileProblemsError) as raised:
        parsed(*lines)
    return raised.value.problems


class TestReading:
    def test_a_service_s_table(self):
        found = parsed(
            "# forecast_reference_time: 2026-08-10T06:00Z",
            "time_utc,wind_speed [kn],wind_from_direction [degree],air_pressure_at_mean_sea_level [hPa],"
            "air_temperature [degF],thunderstorm_probability [%],precipitation_amount [mm],"
            "cloud_area_fraction [%]",
            "2026-08-10 06:00,10,350,1013.2,86,30,0.5,70",
            "2026-08-10 09:00,20,10,1012.2,,60,,70",
        )
        assert found.made == utc("2026-08-10 06:00")
        assert found.t.tolist() == [utc("2026-08-10 06:00"), utc("2026-08-10 09:00")]
        assert found.values[Quantity.WIND_SPEED] == pytest.approx([5.1444, 10.2889], abs=1e-4)
        assert found.values[Quantity.PRESSURE] == pytest.approx([101_320.0, 101_220.0])
        assert found.values[Quantity.AIR_TEMPERATURE][0] == pytest.approx(30.0)
        assert np.isnan(found.values[Quantity.AIR_TEMPERATURE][1])
        assert found.values[Quantity.THUNDER] == pytest.approx([0.3, 0.6])
        assert found.ignored == ("cloud_area_fraction [%]",)
        assert not found.knows(Quantity.WATER_TEMPERATURE)

    def test_a_real_gauge_s_weather(self):
        found = read_weather(PUBLISHED / "apalachicola_db_hourly.csv")
        assert found.knows(Quantity.WIND_SPEED, Quantity.WIND_FROM, Quantity.PRESSURE, Quantity.GUST)
        assert found.ignored == ("level_m",)
        assert found.made is None
        assert found.at(Quantity.WIND_SPEED, utc("2012-01-01 05:30")) == pytest.approx((1.1 + 0.8) / 2)

    @pytest.mark.parametrize(
        ("quantity", "unit", "text", "inside"),
        [
            (Quantity.WIND_SPEED, "m/s", "10", 10.0),
            (Quantity.WIND_SPEED, "m s-1", "10", 10.0),
            (Quantity.GUST, "km/h", "36", 10.0),
            (Quantity.GUST, "mph", "22.369", 10.0),
            (Quantity.WIND_SPEED, "kt", "19.438", 10.0),
            (Quantity.PRESSURE, "Pa", "101325", 101_325.0),
            (Quantity.PRESSURE, "hPa", "1013.25", 101_325.0),
            (Quantity.PRESSURE, "MBAR", "1013.25", 101_325.0),
            (Quantity.PRESSURE, "inHg", "29.9213", 101_325.0),
            (Quantity.WATER_TEMPERATURE, "degF", "59", 15.0),
            (Quantity.AIR_TEMPERATURE, "K", "288.15", 15.0),
            (Quantity.THUNDER, "1", "0.4", 0.4),
            (Quantity.PRECIPITATION, "inch", "1", 25.4),
            (Quantity.PRECIPITATION, "kg m-2", "3", 3.0),
        ],
    )
    def test_units_become_the_inside_s(self, quantity, unit, text, inside):
        """Factors: BIPM, The International System of Units, and NIST Special Publication 811."""
        found = parsed(f"time_utc,{quantity.value} [{unit}]", f"2026-01-01 00:00,{text}")
        assert found.values[quantity][0] == pytest.approx(inside, rel=1e-4)

    def test_the_clock_is_the_file_s_or_the_one_given(self):
        from zoneinfo import ZoneInfo

        lines = ("time,wind_speed [m/s]", "2026-07-01 06:00,3")
        assert parsed(*lines, zone=ZoneInfo("America/Chicago")).t[0] == utc("2026-07-01 11:00")
        stamped = parsed("time,wind_speed [m/s]", "2026-07-01T06:00+02:00,3")
        assert stamped.t[0] == utc("2026-07-01 04:00")

    def test_rows_are_put_in_order(self):
        found = parsed("time_utc,wind_speed [m/s]", "2026-07-01 06:00,3", "2026-07-01 03:00,2")
        assert found.values[Quantity.WIND_SPEED].tolist() == [2.0, 3.0]

    def test_a_column_that_only_mentions_time_is_not_the_time(self):
        found = parsed(
            "time_utc,forecast_reference_time,wind_speed [m/s]",
            "2026-07-01 06:00,2026-07-01 00:00,3",
        )
        assert found.t[0] == utc("2026-07-01 06:00")


class TestProblems:
    @pytest.mark.parametrize(
        ("header", "row", "where", "found", "expected"),
        [
            ("windspeed [kn]", "3", "column 'windspeed [kn]'", "an unknown name", "'wind_speed'?"),
            ("wind_speed", "3", "column 'wind_speed'", "no unit", "m/s"),
            ("wind_speed [furlong]", "3", "column 'wind_speed [furlong]'", "the unit 'furlong'", "kn"),
            ("relative_humidity [%]", "3", "header", "columns", "wind_speed_of_gust"),
            ("wind_speed [kn]", "three", "line 2", "'three'", "a number"),
            ("wind_speed [kn]", "-3", "line 2", "'-3'", "0 to 120 m/s"),
            ("wind_from_direction [degree]", "370", "line 2", "'370'", "0 to 360 degrees"),
            ("air_pressure_at_mean_sea_level [Pa]", "1013", "line 2", "'1013'", "85000 to 110000 Pa"),
            ("thunderstorm_probability [1]", "40", "line 2", "'40'", "0 to 1"),
        ],
    )
    def test_each_names_place_find_and_wish(self, header, row, where, found, expected):
        (problem,) = problems_of(f"time_utc,{header}", f"2026-01-01 00:00,{row}")
        assert problem.where == where
        assert found in problem.found
        assert expected in problem.expected

    def test_all_are_told_at_once(self):
        told = problems_of(
            "time_utc,wind_speed [x],air_pressure_at_mean_sea_level,air_temprature [degC]",
            "2026-01-01 00:00,1,1,1",
        )
        assert len(told) == 3

    def test_a_quantity_or_a_time_twice(self):
        (first,) = problems_of("time_utc,wind_speed [kn],wind_speed [m/s]", "2026-01-01 00:00,1,1")
        assert "a second wind_speed" in first.found
        (second,) = problems_of("time_utc,wind_speed [kn]", "2026-01-01 00:00,1", "2026-01-01 00:00,2")
        assert second.where == "line 3"

    def test_a_clock_without_a_zone(self):
        (problem,) = problems_of("time,wind_speed [kn]", "2026-01-01 00:00,1")
        assert problem.found == "a clock without a zone"

    def test_a_forecast_made_at_no_time(self):
        (problem,) = problems_of(
            "# forecast_reference_time: breakfast", "time_utc,wind_speed [kn]", "2026-01-01 00:00,1"
        )
        assert problem.where == "forecast_reference_time"
        assert "breakfast" in problem.found


def weather_of(quantity, hours, values):
    return Weather("w", HOUR * np.asarray(hours, dtype=float), {quantity: np.asarray(values, dtype=float)})


class TestBetweenReadings:
    def test_it_runs_straight(self):
        found = weather_of(Quantity.WIND_SPEED, [0, 3, 6], [2.0, 8.0, 5.0])
        assert found.at(Quantity.WIND_SPEED, HOUR * np.array([0, 1, 3, 4.5, 6])) == pytest.approx(
            [2.0, 4.0, 8.0, 6.5, 5.0]
        )

    def test_directions_turn_the_short_way(self):
        found = weather_of(Quantity.WIND_FROM, [0, 3], [350.0, 10.0])
        assert found.at(Quantity.WIND_FROM, np.array([1.5 * HOUR])) % 360.0 == pytest.approx(0.0, abs=1e-9)

    def test_outside_and_in_gaps_it_is_unknown(self):
        found = weather_of(Quantity.WIND_SPEED, [0, 3, 12, 18, 21], [2, 2, 2, np.nan, 2])
        t = HOUR * np.array([-0.1, 2, 3, 4, 11.9, 12, 15, 18, 21, 21.1])
        unknown = np.isnan(found.at(Quantity.WIND_SPEED, t))
        assert unknown.tolist() == [True, False, False, True, True, False, True, True, False, True]
        assert np.isnan(found.at(Quantity.PRESSURE, t)).all()
        assert LONGEST_STEP < 9 * HOUR

    def test_before_cuts(self):
        found = weather_of(Quantity.WIND_SPEED, [0, 3, 6], [2, 3, 4]).before(3 * HOUR)
        assert found.t.tolist() == [0.0]

    @given(st.lists(st.floats(0.0, 50.0), min_size=2, max_size=20), st.floats(0.0, 1.0))
    def test_never_beyond_its_neighbours(self, values, share):
        found = weather_of(Quantity.WIND_SPEED, np.arange(len(values)), values)
        at = share * (len(values) - 1)
        value = float(found.at(Quantity.WIND_SPEED, at * HOUR))
        around = values[int(at)], values[min(int(at) + 1, len(values) - 1)]
        assert min(around) - 1e-9 <= value <= max(around) + 1e-9


def test_every_quantity_has_units_and_bounds():
    assert set(SCALES) == set(Quantity)
    for scale in SCALES.values():
        assert scale.least < scale.greatest
        assert (1.0, 0.0) in scale.units.values() or scale.inside == "m/s"


UNITS = {
    Quantity.WIND_SPEED: {
        1.0: "m/s|m s-1|mps|m.s-1|M/S",
        1852 / 3600: "kn|kt|kts|knot|knots",
        1 / 3.6: "km/h|km h-1|kmh|kph",
        0.44704: "mph|mi/h",
    },
    Quantity.WIND_FROM: {1.0: "degree|degrees|deg|°|degree_true|degT"},
    Quantity.PRESSURE: {
        100.0: "hPa|mbar|mb|millibar",
        1.0: "Pa",
        1000.0: "kPa",
        3386.389: "inHg|in Hg",
        133.3224: "mmHg|mm Hg",
    },
    Quantity.THUNDER: {0.01: "%|percent", 1.0: "1|fraction"},
    Quantity.PRECIPITATION: {1.0: "mm|kg m-2|kg/m2", 10.0: "cm", 25.4: "in|inch|inches"},
}
"""Factors by definition; inches and millimetres of mercury to seven digits as in NIST SP 811."""


@pytest.mark.parametrize("quantity", UNITS)
def test_every_spelling_of_a_unit(quantity):
    scale = SCALES[quantity]
    value = 0.5 * (scale.least + scale.greatest)
    for factor, names in UNITS[quantity].items():
        for name in names.split("|"):
            found = parsed(f"time_utc,{quantity.value} [{name}]", f"2026-08-10 06:00,{value / factor!r}")
            assert found.values[quantity][0] == pytest.approx(value, rel=1e-12), name


@pytest.mark.parametrize(
    ("names", "text"),
    [
        ("degC|°C|C|Celsius|degree_Celsius", "20"),
        ("degF|°F|F|Fahrenheit", "68"),
        ("K|Kelvin", "293.15"),
    ],
)
def test_every_spelling_of_a_temperature(names, text):
    for name in names.split("|"):
        found = parsed(f"time_utc,air_temperature [{name}]", f"2026-08-10 06:00,{text}")
        assert found.values[Quantity.AIR_TEMPERATURE][0] == pytest.approx(20.0), name


@pytest.mark.parametrize(
    ("quantity", "unit", "least", "greatest", "inside"),
    [
        (Quantity.WIND_SPEED, "m/s", 0, 120, "m/s"),
        (Quantity.GUST, "m/s", 0, 120, "m/s"),
        (Quantity.WIND_FROM, "deg", 0, 360, "degrees"),
        (Quantity.PRESSURE, "Pa", 85000, 110000, "Pa"),
        (Quantity.AIR_TEMPERATURE, "degC", -60, 60, "°C"),
        (Quantity.WATER_TEMPERATURE, "degC", -60, 60, "°C"),
        (Quantity.THUNDER, "1", 0, 1, "of 1"),
        (Quantity.PRECIPITATION, "mm", 0, 2000, "mm"),
    ],
)
def test_values_that_no_weather_has(quantity, unit, least, greatest, inside):
    header = f"{quantity.value} [{unit}]"
    rows = [f"2026-08-10 0{k}:00,{value}" for k, value in enumerate((least, greatest))]
    assert parsed(f"time_utc,{header}", *rows).values[quantity].tolist() == [least, greatest]
    for value in (least - 0.01, greatest + 0.01):
        (problem,) = problems_of(f"time_utc,{header}", f"2026-08-10 00:00,{value}")
        assert str(problem) == (
            f"line 2: found '{value}'; expected {least} to {greatest} {inside} under '{header}'"
        )


def test_weather_of_six_hours_is_joined_and_of_eight_is_not():
    for hours, joined in ((6, True), (7, True), (8, False)):
        found = Weather("w", np.array([0.0, hours * HOUR]), {Quantity.PRESSURE: np.array([1e5, 1e5])})
        assert np.isfinite(found.at(Quantity.PRESSURE, HOUR)) == joined


@pytest.mark.parametrize(
    "text", ["2026-08-10T06:00Z", "2026-08-10 06:00 UTC", "2026-08-10 06:00", "2026-08-10T08:00+02:00"]
)
def test_when_a_forecast_was_made(text):
    rows = ("time_utc,wind_speed [kn]", "2026-08-10 06:00,5")
    assert parsed(f"# Forecast_reference_time = {text}", *rows).made == utc("2026-08-10 06:00")
    (problem,) = problems_of("# forecast_reference_time: soon", *rows)
    assert str(problem) == (
        "forecast_reference_time: found 'soon'; expected a time such as 2026-08-10T06:00Z"
    )


def test_a_forecast_time_without_a_zone_is_utc_wherever_the_machine_is(monkeypatch):
    monkeypatch.setenv("TZ", "America/Chicago")
    time.tzset()
    try:
        found = parsed(
            "# forecast_reference_time: 2026-08-10 06:00", "time_utc,wind_speed [kn]", "2026-08-10 06:00,5"
        )
    finally:
        monkeypatch.undo()
        time.tzset()
    assert found.made == utc("2026-08-10 06:00")


@pytest.mark.parametrize(
    ("quantity", "units"),
    [
        (Quantity.WIND_SPEED, "m/s, kn, km/h, mph"),
        (Quantity.WIND_FROM, "degree"),
        (Quantity.PRESSURE, "hPa, Pa, kPa, inHg, mmHg"),
        (Quantity.AIR_TEMPERATURE, "degC, degF, K"),
        (Quantity.THUNDER, "%, 1"),
        (Quantity.PRECIPITATION, "mm, cm, in"),
    ],
)
def test_units_as_they_are_written(quantity, units):
    (problem,) = problems_of(f"time_utc,{quantity.value} [furlong]", "2026-08-10 06:00,1")
    assert str(problem) == (
        f"column '{quantity.value} [furlong]': found the unit 'furlong'; expected one of {units} in "
        f"brackets, as in '{quantity.value} [{units.partition(',')[0]}]'"
    )
