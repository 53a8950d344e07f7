"""Slow lines against weather: none that weather explains is trusted, and what the tide makes still is.

Records: Honolulu 2010 (UHSLC), Dry Bar 2012-2013 (NERRS) and Tuktoyaktuk 1975; source lines in
tests/published.
"""

import numpy as np
import pytest

from harmonics.fitting.analysis import TRUSTED_SNR, fit
from harmonics.fitting.weather import FEWEST_CYCLES, GUESSED, MISTAKES
from harmonics.sums.series import sums_at
from harmonics.sums.waves import HarmonicConstants, year_start
from harmonics.units import METRES_PER_FOOT
from tests.conftest import published_rows
from tests.harmonics.conftest import utc
from tests.harmonics.records_of import DAY, HOUR, dry_bar, honolulu, red_noise


def tuktoyaktuk():
    rows = published_rows("tuktoyaktuk1975_hourly.csv")
    level = [float(row["level_ft"]) * METRES_PER_FOOT if row["level_ft"] else np.nan for row in rows]
    return np.array([utc(row["time_clock"]) for row in rows]), np.array(level)


RECORDS = {"honolulu": honolulu, "dry bar": dry_bar, "tuktoyaktuk": tuktoyaktuk}
STRETCHES = [
    # record, first day, days
    *(("honolulu", 0, 30), ("honolulu", 0, 65), ("honolulu", 30, 90), ("honolulu", 150, 120)),
    *(("honolulu", 90, 270), ("honolulu", 0, 183), ("honolulu", 0, 365)),
    *(("dry bar", 0, 65), ("dry bar", 400, 90), ("dry bar", 100, 120), ("dry bar", 30, 183)),
    *(("dry bar", 366, 365), ("dry bar", 0, 366), ("dry bar", 0, 731)),
    *(("tuktoyaktuk", 0, 65), ("tuktoyaktuk", 0, 45)),
]
TIDE = {("honolulu", 0, 183, "MF"), ("honolulu", 0, 365, "MF")}
"""Slow lines that are the tide's: those of Honolulu's published constants that stand out of a year there."""


def stretch(name, first, days):
    t, level = RECORDS[name]()
    inside = (t >= t[0] + first * DAY) & (t < t[0] + (first + days) * DAY)
    return t, level, inside


@pytest.fixture(scope="module")
def analysed():
    found = {}
    for item in STRETCHES:
        t, level, inside = stretch(*item)
        found[item] = fit(t[inside], level[inside])
    return found


def constants(lines):
    return HarmonicConstants(
        tuple(line.constituent for line in lines),
        np.array([line.amplitude for line in lines]),
        np.array([line.phase_lag for line in lines]),
    )


class TestSixteenStretches:
    def test_they_are_sixteen_of_different_lengths(self):
        assert len(STRETCHES) == 16
        assert len({days for _, _, days in STRETCHES}) >= 9

    def test_only_the_tides_slow_lines_are_trusted(self, analysed):
        trusted = {
            (*item, line.name) for item, found in analysed.items() for line in found.lines
            if line.trusted and line.weather is not None
        }  # fmt: skip
        assert trusted == TIDE

    def test_the_noise_alone_would_let_ten_or_more_through(self, analysed):
        """What the test is for: lines as large beside the noise of the fit as any that is trusted."""
        through = [
            line for found in analysed.values() for line in found.lines
            if line.weather is not None and line.snr >= TRUSTED_SNR and not line.trusted
        ]  # fmt: skip
        assert len(through) >= 10

    def test_no_trusted_slow_line_makes_the_rest_of_its_record_worse(self, analysed):
        """The fit has not seen the rest: its variance falls where the line is taken out."""
        seen = 0
        for item, found in analysed.items():
            t, level, inside = stretch(*item)
            rest = ~inside & np.isfinite(level)
            if rest.sum() < 60 * 24:
                continue
            fast = constants([line for line in found.lines if line.weather is None])
            left = level[rest] - sums_at(fast, found.practice, t[rest])
            for line in found.lines:
                if line.trusted and line.weather is not None:
                    seen += 1
                    assert np.var(left - sums_at(constants([line]), found.practice, t[rest])) < np.var(left)
        assert seen == 1

    def test_what_is_trusted_agrees_with_the_published_constants(self, analysed):
        """Mf at Honolulu, NOAA CO-OPS: within the interval of the year's own."""
        (row,) = [row for row in published_rows("constituents_1612340.csv") if row["name"] == "MF"]
        line = analysed["honolulu", 0, 365].line("MF")
        ours = line.amplitude * np.exp(-1j * np.radians(line.phase_lag))
        theirs = float(row["amplitude"]) * np.exp(-1j * np.radians(float(row["phase"])))
        assert abs(ours - theirs) <= line.amplitude_error

    def test_a_year_is_too_short_for_the_year_itself(self, analysed):
        line = analysed["honolulu", 0, 365].line("SA")
        assert line.snr > 10
        assert line.weather is not None and line.weather.cycles < FEWEST_CYCLES
        assert line.weather.chance > line.weather.allowed
        assert not line.trusted


def test_fast_lines_are_judged_by_the_noise_alone(analysed):
    for found in analysed.values():
        for line in found.lines:
            if line.constituent.species:
                assert line.weather is None
                assert line.trusted == (line.snr >= TRUSTED_SNR)


def test_the_chance_of_a_mistake_is_shared_by_the_lines_of_a_record(analysed):
    for found in analysed.values():
        slow = [line.weather for line in found.lines if line.weather is not None]
        shares = [item.allowed / (GUESSED if item.cycles < FEWEST_CYCLES else 1.0) for item in slow]
        assert sum(shares) == pytest.approx(MISTAKES)
        long = [item.allowed for item in slow if item.cycles >= FEWEST_CYCLES]
        mf = found.line("MF").weather
        assert mf is not None and (mf.cycles < FEWEST_CYCLES or mf.allowed == max(long))


@pytest.mark.parametrize("hours", [12, 120])
def test_weather_alone_is_seldom_taken_for_tide(hours):
    """Forty records of red noise beside a tide: one in twenty may have a slow line by mistake."""
    mistaken = 0
    for seed in range(40):
        t = year_start(2015) + DAY * (7 * seed) + HOUR * np.arange(120 * 24)
        level = 0.3 * np.cos(2 * np.pi * (t - t[0]) / 44714.16) + red_noise(len(t), hours, 0.15, 100 + seed)
        mistaken += any(line.trusted for line in fit(t, level).lines if line.weather is not None)
    assert mistaken <= 5  # chance 1.4 % of more at one in twenty


def test_a_strong_slow_tide_is_still_found():
    """An Mf of 8 cm, as inside a fjord with a river, in the same weather."""
    t = year_start(2015) + HOUR * np.arange(183 * 24)
    level = 0.08 * np.cos(2 * np.pi * (t - t[0]) / (13.660791 * DAY)) + red_noise(len(t), 48, 0.1, 7)
    level += 0.3 * np.cos(2 * np.pi * (t - t[0]) / 44714.16)
    assert fit(t, level).line("MF").trusted
