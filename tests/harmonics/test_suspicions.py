"""Spikes, stuck gauges and shifted clocks, put into real and made records and found again."""

import numpy as np
import pytest

from harmonics.fitting.analysis import fit
from harmonics.fitting.suspicions import (
    Finding,
    Suspicion,
    shifted_clock,
    shifted_datum,
    spikes,
    stuck,
    suspicions,
)
from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from harmonics.units import LengthUnit
from tests.conftest import published_rows
from tests.harmonics.conftest import published_station, utc
from tests.harmonics.records_of import dry_bar
from windows.render.words.analysis import finding_text, report

HOUR = 3600.0
DAY = 86400.0


@pytest.fixture(scope="module")
def honolulu():
    rows = published_rows("hnl2010_hourly.csv")
    t = np.array([utc(row["time_utc"]) for row in rows])
    return t, np.array([float(row["level_m"]) for row in rows])


def made(days, seed=5, station="8443970", noise=0.02):
    t = year_start(2021) + HOUR * np.arange(int(days * 24))
    rng = np.random.default_rng(seed)
    return t, np.round(levels(published_station(station), t) + noise * rng.normal(size=len(t)), 3)


def test_a_clean_real_year_shows_nothing_but_a_tsunami(honolulu):
    # The Chilean tsunami of 27 February 2010 reached Hawaii at about 21 h UTC (common knowledge).
    found = suspicions(fit(*honolulu))
    assert [item.kind for item in found] == [Suspicion.SPIKE]
    assert utc("2010-02-27 20:00") < found[0].start < utc("2010-02-28 00:00")
    assert found[0].end < utc("2010-03-01 00:00")


@pytest.mark.parametrize("station", ["8443970", "8729840", "1612340"])
def test_a_clean_made_record_shows_nothing(station):
    assert suspicions(fit(*made(120, station=station))) == ()


def test_spikes_are_found_where_they_were_put():
    t, level = made(90)
    level[[200, 900, 901, 1500]] += [0.6, -0.5, -0.5, 2.0]
    found = spikes(fit(t, level))
    assert [item.start for item in found] == [t[200], t[900], t[1500]]
    assert found[1].end == t[901]
    assert found[0].size == pytest.approx(0.6, abs=0.1)
    assert found[2].size == pytest.approx(2.0, abs=0.1)


def test_a_gauge_stuck_for_most_of_a_record_keeps_no_clock():
    t, level = made(80)
    level[: 40 * 24] = 1.5
    level[60 * 24 :] = made(80)[1][60 * 24 - 2 : -2]
    found = suspicions(fit(t, level))
    assert (found[0].kind, found[0].start, found[0].end) == (Suspicion.STUCK, t[0], t[40 * 24 - 1])
    assert all(item.kind is Suspicion.SPIKE for item in found[1:])


@pytest.mark.parametrize("hours", [5, 30])
def test_a_stuck_gauge_is_found(hours):
    t, level = made(90)
    level[700 : 700 + hours] = level[700]
    found = stuck(fit(t, level))
    assert [(item.start, item.end) for item in found] == [(t[700], t[699 + hours])]
    assert found[0].size > 0.5


def test_a_stand_is_not_a_stuck_gauge():
    # Pensacola at neaps moves little in four hours: readings to a centimetre repeat by themselves.
    t, level = made(365, station="8729840", noise=0.0)
    coarse = np.round(level, 2)
    runs = np.diff(np.flatnonzero(np.diff(coarse, prepend=np.inf, append=np.inf) != 0))
    assert runs.max() >= 4
    assert stuck(fit(t, coarse)) == ()


@pytest.mark.parametrize("minutes", [-60, -30, 30, 60, 120])
@pytest.mark.parametrize(("place", "tolerance"), [("boston", 120.0), ("honolulu", 600.0)])
def test_a_shifted_clock_is_found(honolulu, place, tolerance, minutes):
    # Internal tides move Honolulu's own tide by ten minutes for weeks.
    t, level = honolulu if place == "honolulu" else made(240)
    split = 3000
    shifted = t.copy()
    shifted[split:] += minutes * 60.0
    if minutes < 0:
        keep = np.r_[0:split, split - minutes // 60 + 2 : len(t)]
        shifted, level = shifted[keep], level[keep]
    found = shifted_clock(fit(shifted, level))
    first = found[0] if found[0].start < t[0] + DAY else None
    item = first or found[-1]
    edge = item.end if first else item.start
    assert abs(edge - t[split]) < 6 * DAY
    # The longest stretch is the standard, so the stretch before the break is off the other way.
    assert item.size == pytest.approx((-60.0 if first else 60.0) * minutes, abs=tolerance)
    assert all(abs(item.size) < 1.3 * abs(minutes) * 60 for item in found)


def test_findings_in_words():
    start = utc("2021-03-04 05:06")
    assert (
        finding_text(Finding(Suspicion.SPIKE, start, start, -0.3048), LengthUnit.FEET)
        == "2021-03-04 05:06 UTC: spike, -1.00 ft off its neighbours."
    )
    assert (
        finding_text(Finding(Suspicion.CLOCK, start, start + DAY, 3500.0), LengthUnit.METRES)
        == "2021-03-04 05:06 to 2021-03-05 05:06 UTC: shifted clock, about 60 minutes ahead of the longest "
        "stretch of the record."
    )
    text = finding_text(Finding(Suspicion.STUCK, start, start + HOUR, 0.61), LengthUnit.METRES)
    assert "one reading repeated while the tide moved by 0.61 m" in text


def test_the_report_says_what_matters():
    t, level = made(31)
    level[100] += 1.0
    level[300:340] = np.nan
    found = fit(t, level)
    told = report(found, suspicions(found), LengthUnit.FEET)
    text = "\n".join((*told.summary, *told.left_out, *told.findings))
    assert "704 readings from 2021-01-01 00:00 to 2021-01-31 23:00 UTC: 31.0 days" in text
    assert "5 % missing" in text
    assert f"explain {100 * found.explained:.1f} % of the variance" in text
    assert "semidiurnal" in text
    assert "P1 from K1 (ratio 0.331, equilibrium)" in text
    assert "P1: 178 days are needed to find it apart from K1." in told.left_out
    assert "SA: 355 days are needed to find it at all." in told.left_out
    assert any("spike" in line for line in told.findings)
    largest = told.lines[0]
    assert largest.name == "M2"
    assert largest.amplitude == pytest.approx(found.line("M2").amplitude / 0.3048)
    assert next(row for row in told.lines if row.name == "P1").note == "inferred from K1 (equilibrium)"
    trusted = next(line for line in told.summary if line.startswith("To trust: "))
    weak = next(line for line in told.summary if line.startswith("Not clear"))
    assert "M2" in trusted
    assert "M2" not in weak


class TestShiftedDatum:
    def test_it_is_found_with_its_size(self):
        t, level = made(120)
        level[: 20 * 24] -= 0.4
        (found,) = shifted_datum(fit(t, level))
        assert (found.start, found.end) == (t[0], t[20 * 24 - 1])
        assert found.size == pytest.approx(-0.4, abs=0.03)

    def test_a_stretch_put_back_is_found(self):
        t, level = made(120)
        level[1000:1500] += 0.3
        (found,) = shifted_datum(fit(t, level))
        assert (found.start, found.end) == (t[1000], t[1499])
        assert found.size == pytest.approx(0.3, abs=0.06)

    def test_a_sonde_put_back_at_another_depth(self):
        """Dry Bar, 1 August 2012, 14 to 15 h UTC on a calm morning: 0.26 m lower within one reading."""
        t, level = dry_bar()
        part = (t >= utc("2012-07-20 00:00")) & (t < utc("2012-08-15 00:00"))
        (found,) = shifted_datum(fit(t[part], level[part]))
        assert utc("2012-08-01 14:00") in (found.start, found.end)
        assert 0.15 < found.size < 0.3

    @pytest.mark.parametrize("hours", [6, 24, 40])
    def test_a_surge_that_leaves_again_is_none(self, hours):
        t, level = made(120)
        level[1000:] += 0.8 * np.exp(-np.arange(len(t) - 1000) / hours)
        assert shifted_datum(fit(t, level)) == ()

    def test_a_rise_of_some_hours_is_weather(self):
        t, level = made(120)
        level[1000:] += 0.4 * np.clip(np.arange(len(t) - 1000) / 4.0, 0.0, 1.0)
        assert shifted_datum(fit(t, level)) == ()

    def test_a_jump_over_a_gap_of_weeks_may_be_weather(self):
        t, level = made(120)
        level[1000:] += 0.4
        keep = (np.arange(len(t)) < 1000) | (np.arange(len(t)) > 1200)
        assert shifted_datum(fit(t[keep], level[keep])) == ()

    def test_it_is_told_in_words(self):
        start = utc("2021-03-01 00:00")
        text = finding_text(Finding(Suspicion.DATUM, start, start + DAY, -0.3048), LengthUnit.FEET)
        assert text == (
            "2021-03-01 00:00 to 2021-03-02 00:00 UTC: shifted datum, about 1.00 ft below the longest "
            "stretch of the record."
        )
