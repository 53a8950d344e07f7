"""What a record's own tide says of its unit, its clock and its place, set against a station's constants."""

from types import SimpleNamespace

import pytest

from harmonics.catalogue.constituents import find
from harmonics.fitting.analysis import Line
from harmonics.records.likeness import why_unlike
from tests.harmonics.conftest import station_of

SEMIDIURNAL = [("M2", 1.0, 40.0), ("S2", 0.3, 70.0), ("N2", 0.2, 20.0), ("K1", 0.15, 200.0)]
FOOT = 0.3048


def line(name, amplitude, lag, error=0.001):
    """A line of an analysis; a half-width as large as half the amplitude leaves it untrusted."""
    return Line(find(name), amplitude, lag % 360.0, error, 1.0, (amplitude / error) ** 2)


def said(station, gain=1.0, minutes=0.0, more=()):
    """What is said of a record with the station's tide so many times as large and so many minutes late."""
    lines = [
        line(name, gain * wave.amplitude, wave.phase_lag + find(name).speed * minutes / 60.0, 0.001 * gain)
        for name, wave in station.constants.named().items()
        if wave.amplitude > 0
    ]
    return why_unlike(station, SimpleNamespace(lines=(*lines, *more)))


PORT = station_of(SEMIDIURNAL)


@pytest.mark.parametrize(
    ("factor", "told"),
    [
        (1.0 / FOOT, "3.28 times as large as predicted: that looks like feet read as metres"),
        (FOOT, "0.305 times as large as predicted: that looks like metres read as feet"),
        (100.0, "100 times as large as predicted: that looks like centimetres read as metres"),
        (1000.0, "1000 times as large as predicted: that looks like millimetres read as metres"),
        (0.01, "0.01 times as large as predicted: that looks like metres read as centimetres"),
        (0.001, "0.001 times as large as predicted: that looks like metres read as millimetres"),
        (1000.0 * FOOT, "305 times as large as predicted: that looks like millimetres read as feet"),
        (100.0 * FOOT, "30 times as large as predicted: that looks like centimetres read as feet"),
        (9.99, "9.99 times as large as predicted: that looks like another place or unit"),
        (1.62, "1.62 times as large as predicted: that looks like another place or unit"),
        (0.61, "0.61 times as large as predicted: that looks like another place or unit"),
    ],
)
def test_a_tide_of_another_size(factor, told):
    assert said(PORT, factor) == f"the tide in these levels is {told}"


@pytest.mark.parametrize("gain", [1.0, 1.58, 0.64])
def test_a_tide_that_grew_or_shrank_a_little_is_its_own(gain):
    assert said(PORT, gain) is None


@pytest.mark.parametrize("gain", [0.9, 1.1])
def test_a_unit_is_known_within_a_tenth(gain):
    assert said(PORT, 100.0 * gain).endswith("that looks like centimetres read as metres")


def test_far_from_any_unit_it_is_another_place():
    for gain in (3.75, 2.85, 0.35, 50.0):
        assert said(PORT, gain).endswith("that looks like another place or unit")


@pytest.mark.parametrize(
    ("minutes", "told"),
    [
        (30.0, "0 h 30 min late against the constants: that looks like a clock 0.5 h ahead of"),
        (-30.0, "0 h 30 min early against the constants: that looks like a clock 0.5 h behind"),
        (60.0, "1 h 00 min late against the constants: that looks like a clock 1 h ahead of"),
        (64.0, "1 h 04 min late against the constants: that looks like a clock 1 h ahead of"),
        (-345.0, "5 h 45 min early against the constants: that looks like a clock 5.75 h behind"),
    ],
)
def test_a_clock_of_another_zone(minutes, told):
    assert said(PORT, minutes=minutes) == f"the tide in these levels is {told} the zone it was read in"


@pytest.mark.parametrize(("minutes", "told"), [(21.0, "0 h 21 min late"), (-66.0, "1 h 06 min early")])
def test_a_lag_of_no_zone(minutes, told):
    assert said(PORT, minutes=minutes) == (
        f"the tide in these levels is {told} against the constants: "
        "that looks like another place or a wrong clock"
    )


@pytest.mark.parametrize("minutes", [20.0, -20.0, 5.0])
def test_minutes_are_no_other_clock(minutes):
    assert said(PORT, minutes=minutes) is None


@pytest.mark.parametrize("hours", [-14, 14])
def test_the_farthest_clocks_of_the_world(hours):
    side = "ahead of" if hours > 0 else "behind"
    rich = station_of([(name, 1.0, 40.0) for name in ("M2", "S2", "K1", "O1", "M4", "MK3")])
    assert f"a clock 14 h {side} the zone" in said(rich, minutes=60.0 * hours)


def test_of_lags_that_fit_alike_the_least_is_meant():
    """A tide of one line alone looks the same a period later."""
    alone = station_of([("M2", 1.0, 40.0)])
    period = 360.0 / find("M2").speed
    assert said(alone, minutes=60.0 * period) is None
    assert "1 h 00 min late" in said(alone, minutes=60.0 * (period + 1.0))
    assert "5 h 00 min early" in said(alone, minutes=60.0 * (period - 5.0))


def test_both_are_told_together():
    assert said(PORT, 100.0, 60.0) == (
        "the tide in these levels is 100 times as large as predicted: that looks like centimetres read as "
        "metres and 1 h 00 min late against the constants: that looks like a clock 1 h ahead of the zone it "
        "was read in"
    )


def test_no_tide_at_all():
    none = "found no tide in these levels; expected that of S"
    noise = SimpleNamespace(lines=(line("M2", 0.01, 5.0, 0.02), line("SSA", 0.1, 5.0)))
    assert why_unlike(PORT, noise) == none
    assert why_unlike(station_of([]), SimpleNamespace(lines=(line("M2", 1.0, 5.0),))) == none


def test_another_tide_is_told_with_its_likeness():
    """Two lines of one size each, of which they share one: the cosine of both is a half."""
    station = station_of([("M2", 1.0, 40.0), ("K1", 1.0, 40.0)])
    other = SimpleNamespace(lines=(line("M2", 1.0, 40.0), line("O1", 1.0, 40.0), line("K1", 0.001, 40.0)))
    assert why_unlike(station, other) == (
        "these levels have another tide than S (likeness 0.50 of 1, 0.85 expected, at any hour's shift): "
        "they look like those of another place"
    )


def test_what_a_record_tells_badly_counts_little():
    """A month leaves weak lines uncertain: a wild one of a wide interval makes no other place."""
    wild = line("K1", 1.0, 20.0, error=3.0)
    known = tuple(line(name, size, lag) for name, size, lag in SEMIDIURNAL if name != "K1")
    assert why_unlike(PORT, SimpleNamespace(lines=(*known, wild))) is None
    sure = line("K1", 1.0, 20.0)
    assert "another place" in why_unlike(PORT, SimpleNamespace(lines=(*known, sure)))


def test_seasons_and_noise_beside_the_tide_do_not_count():
    assert said(PORT, more=(line("SA", 2.0, 5.0), line("OO1", 2.0, 5.0, error=2.0))) is None
    assert "another tide" in said(PORT, more=(line("OO1", 2.0, 5.0),))
