"""Harmonic sums of one year: published arguments, both node practices, even steps and scattered times."""

import calendar

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from harmonics.catalogue.arguments import orbit_angles
from harmonics.catalogue.constituents import find
from harmonics.catalogue.nodes import NodeFamily
from harmonics.stations.prediction import levels
from harmonics.sums.waves import (
    NodePractice,
    Waves,
    drifting_waves,
    node_corrections,
    waves_by_year,
    year_of,
    year_start,
    yearly_arguments,
    yearly_waves,
)
from tests.conftest import published_rows
from tests.harmonics.conftest import STATION_IDS, constants_of, published_station, station_of, utc
from tests.harmonics.strategies import stations

TABLE_15 = published_rows("sp98_table15_equilibrium_argument.csv")
YEAR = 2027
DAY = 86400.0


@pytest.mark.parametrize("row", TABLE_15, ids=lambda row: row["constituent"])
def test_arguments_of_schureman_table_15(row):
    """Special Publication 98, Table 15: V0 + u at 1 January 0 h, u of mid-year, 1990-1997, printed to 0.1.

    The table's own longitudes are older than ours and put the moon ahead, most for M8; M1 turns with the
    perigee besides.
    """
    tolerance = 0.44 if row["constituent"] == "M1" else 0.165
    years = [key for key in row if key != "constituent"]
    assert len(years) == 8
    for year in years:
        _, argument = yearly_arguments((find(row["constituent"]),), int(year))
        apart = np.mod(np.degrees(argument[0]) - float(row[year]) + 180, 360) - 180
        assert abs(apart) <= tolerance, year


def test_table_15_covers_the_us_tables():
    assert len({find(row["constituent"]) for row in TABLE_15}) == len(TABLE_15) == 37


@pytest.mark.parametrize("year", [1850, 1900, 1969, 1970, 1999, 2000, 2024, 2100])
def test_years_and_their_starts(year):
    start = year_start(year)
    assert start == utc(f"{year}-01-01 00:00")
    assert year_of(start) == year
    assert year_of(np.nextafter(start, -np.inf)) == year - 1
    assert (year_start(year + 1) - start) / DAY == 365 + calendar.isleap(year)


def test_waves_of_a_span_are_those_of_the_years_it_touches():
    constants = constants_of([("M2", 1.0, 0.0)])

    def years(start, end):
        return [year_of(waves.start) for waves in waves_by_year(constants, NodePractice.YEARLY, start, end)]

    assert years(year_start(2020), year_start(2021)) == [2020]
    assert years(year_start(2020) - 1, year_start(2021) + 1) == [2019, 2020, 2021]
    assert years(year_start(2020), year_start(2020)) == [2020]


@pytest.mark.parametrize(("start", "end"), [(np.nan, 0.0), (0.0, np.nan), (0.0, np.inf), (-np.inf, 0.0)])
def test_a_span_without_an_end_is_refused(start, end):
    with pytest.raises(ValueError, match="finite"):
        list(waves_by_year(constants_of([]), NodePractice.YEARLY, start, end))


def test_compounds_multiply_factors_and_add_angles():
    orbit = orbit_angles(np.array([utc("1995-07-02 12:00"), utc("2006-07-02 12:00")]))
    f, u = node_corrections(tuple(map(find, ("M2", "K1", "2MK3", "MSN2", "M8"))), orbit)
    assert_allclose(f[2], f[0] ** 2 * f[1])
    assert_allclose(u[2], 2 * u[0] - u[1])
    assert_allclose(f[3], f[0] ** 2)
    assert_allclose(u[3], 0, atol=1e-15)
    assert_allclose(f[4], f[0] ** 4)
    assert_allclose(u[4], 4 * u[0])
    assert_allclose(f[0], NodeFamily.M2.factor(orbit))


def test_constants_by_name_and_some_of_them():
    constants = constants_of([("M2", 1.0, 20.0), ("LAM2", 0.1, 40.0), ("K1", 0.0, 60.0)])
    named = constants.named()
    assert named == {"M2": (1.0, 20.0), "LAMBDA2": (0.1, 40.0), "K1": (0.0, 60.0)}
    assert named["LAMBDA2"].amplitude == 0.1
    assert named["LAMBDA2"].phase_lag == 40.0
    some = constants.keep(constants.amplitude > 0)
    assert some.named() == {"M2": (1.0, 20.0), "LAMBDA2": (0.1, 40.0)}
    assert some.constituents == (find("M2"), find("LAMBDA2"))
    assert constants.keep(np.zeros(3, dtype=bool)).named() == {}


def test_yearly_arguments_cannot_be_changed_by_a_caller():
    factor, argument = yearly_arguments((find("M2"),), 2026)
    for array in (factor, argument):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0.0


def test_yearly_practice_takes_one_factor_and_one_speed_through_the_year():
    """One constituent repeats exactly after its own period, all year long."""
    waves = yearly_waves(constants_of([("O1", 0.3, 200.0)]), YEAR)
    period = 360 / find("O1").speed * 3600
    t = waves.start + period * np.arange(330)
    assert_allclose(waves.at(t), waves.at(t)[0], rtol=0, atol=1e-9)


@pytest.mark.parametrize("station_id", STATION_IDS)
def test_both_practices_meet_in_the_middle_of_the_year(station_id):
    """f and u are those of mid-year in both; M1 is left out, it advances with the perigee in one only."""
    constants = published_station(station_id).constants
    constants = constants.keep(np.array([row.name != "M1" for row in constants.constituents]))
    middle = (year_start(YEAR) + year_start(YEAR + 1)) / 2 + np.linspace(-DAY / 2, DAY / 2, 49)
    assert_allclose(
        yearly_waves(constants, YEAR).at(middle),
        drifting_waves(constants, YEAR).at(middle),
        atol=2e-4,
        rtol=0,
    )


@pytest.mark.parametrize("year", [1850, 2000, 2027, 2099])
@pytest.mark.parametrize("station_id", STATION_IDS)
def test_continuous_practice_runs_on_across_new_year(station_id, year):
    """The longitudes are parabolas, the year's speeds straight lines: 3e-6 m apart after a year at most, in
    1850, and below 1e-6 m in our time."""
    constants = published_station(station_id).constants
    edge = np.array([year_start(year)])
    old, new = drifting_waves(constants, year - 1), drifting_waves(constants, year)
    assert abs(old.at(edge) - new.at(edge))[0] < (1e-6 if year in (2000, 2027) else 3e-6)
    assert abs(old.at(edge, 1) - new.at(edge, 1))[0] < 1e-8


@pytest.mark.parametrize("station_id", STATION_IDS)
def test_yearly_practice_steps_at_new_year_by_no_more_than_ten_centimetres(station_id):
    """Its size is the price of the agencies' practice. Largest of 1950-2050: Seattle, 100 mm in level."""
    edges = np.array([year_start(year) for year in range(1950, 2051)])
    station = published_station(station_id)
    step = np.abs(levels(station, edges) - levels(station, np.nextafter(edges, -np.inf)))
    assert 0.001 < step.max() < 0.1005


@pytest.mark.parametrize("practice", NodePractice)
@pytest.mark.parametrize("order", [0, 1, 2])
def test_each_derivative_is_the_slope_of_the_one_before(practice, order):
    waves = next(
        waves_by_year(
            published_station("9447130").constants, practice, year_start(YEAR), year_start(YEAR) + 1
        )
    )
    t = waves.start + np.linspace(DAY, 364 * DAY, 3001) + 7.0
    step = 2.0
    slope = (waves.at(t + step, order) - waves.at(t - step, order)) / (2 * step)
    scale = np.abs(waves.at(t, order + 1)).max()
    assert_allclose(waves.at(t, order + 1), slope, atol=2e-6 * scale)


def cosines(waves: Waves, t, order):
    """The definition, one cosine at a time."""
    total = np.zeros(t.shape)
    for amplitude, phase, speed in zip(waves.amplitude, waves.phase, waves.speed, strict=True):
        total += amplitude * speed**order * np.cos(speed * (t - waves.origin) + phase + order * np.pi / 2)
    return total


@given(
    station=stations(practice=NodePractice.YEARLY),
    year=st.integers(1850, 2100),
    offset=st.integers(0, 360 * 86400),
    step=st.sampled_from([0.25, 1.0, 60.0, 360.0, 600.0, 3600.0, 86400.0]),
    count=st.integers(0, 300),
    order=st.integers(0, 2),
)
def test_even_steps_equal_the_cosines(station, year, offset, step, count, order):
    waves = yearly_waves(station.constants, year)
    first = waves.start + offset
    t = first + step * np.arange(count)
    even = waves.even(first, step, count, order)
    assert even.shape == (count,)
    assert_allclose(even, cosines(waves, t, order), rtol=0, atol=1e-9 * 1e-4**order)
    assert_allclose(waves.at(t, order), cosines(waves, t, order), rtol=0, atol=1e-9 * 1e-4**order)


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 99, 100, 101, 87600])
@pytest.mark.parametrize("practice", NodePractice)
def test_even_steps_of_any_count(practice, count):
    constants = published_station("8443970").constants
    waves = next(waves_by_year(constants, practice, year_start(YEAR), year_start(YEAR) + 1))
    even = waves.even(waves.start, 360.0, count)
    index = np.unique(np.linspace(0, count - 1, 200).astype(int))
    assert_allclose(even[index], waves.at(waves.start + 360.0 * index), rtol=0, atol=1e-9)


def test_node_values_run_straight_between_their_times_without_harm():
    """Continuous practice re-reads f and u every five days: within 2e-4 m of reading them always."""
    constants = published_station("9447130").constants
    waves = drifting_waves(constants, YEAR)
    t = waves.start + 3600.0 * np.arange(8760) + 11.0
    f, u = node_corrections(constants.constituents, orbit_angles(t))
    angle = np.multiply.outer(waves.speed, t - waves.start) + waves.phase[:, None] + u
    assert_allclose(waves.at(t), waves.amplitude @ (f * np.cos(angle)), rtol=0, atol=2e-4)


def test_m1_keeps_the_published_argument_to_the_end_of_the_year():
    """M1 advances at 14.4966939 deg/h (Schureman Table 2), V alone at 14.4920521; in yearly practice its
    phase at the end of a year must meet the next year's V0 + u within what the mid-year angle leaves."""
    m1 = find("M1")
    assert m1.speed == pytest.approx(14.4966939, abs=2e-7)
    assert m1.argument_speed == pytest.approx(14.4920521, abs=2e-7)
    for year in range(2000, 2010):
        edge = np.array([year_start(year + 1)])
        old, new = (yearly_waves(constants_of([("M1", 1.0, 0.0)]), y) for y in (year, year + 1))
        ends = [(waves.speed * (edge - waves.origin) + waves.phase)[0] for waves in (old, new)]
        assert np.cos(ends[0] - ends[1]) > np.cos(np.radians(45))


def test_no_constituents_give_still_water():
    station = station_of([], mean_level=1.25)
    assert np.all(levels(station, [0.0, 1e9]) == 1.25)
    waves = yearly_waves(station.constants, 2026)
    assert np.all(waves.even(waves.start, 360.0, 10, order=1) == 0)
    assert waves.at(np.array([waves.start]))[0] == 0
    drifting = drifting_waves(station.constants, 2026)
    assert np.all(drifting.even(drifting.start, 360.0, 10) == 0)


def test_what_waves_share_can_not_be_changed():
    first, second = (yearly_waves(published_station("8443970").constants, year) for year in (2026, 2027))
    assert first.speed is second.speed
    with pytest.raises(ValueError, match="read-only"):
        first.speed[0] = 0.0
