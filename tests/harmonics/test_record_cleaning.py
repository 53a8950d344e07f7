"""A record against a station's constants: whose it is, and what of it is no water."""

import numpy as np
import pytest

from harmonics.errors import EbblightError
from harmonics.records.cleaning import residuals_of
from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from tests.harmonics.conftest import published_station, utc
from tests.harmonics.records_of import DAY, HOUR, dry_bar, fitted, honolulu, red_noise


def made(days=120, station="8724580", seed=3, step=HOUR):
    """A made record of a published station: its tide and some weather."""
    t = year_start(2021) + step * np.arange(int(days * DAY / step))
    weather = np.interp(t, t[0] + HOUR * np.arange(days * 24 + 1), red_noise(days * 24 + 1, 30.0, 0.08, seed))
    return t, np.round(levels(published_station(station), t) + weather, 3), weather


def refused(station, t, level):
    with pytest.raises(EbblightError) as raised:
        residuals_of(station, t, level, "gauge.csv")
    text = str(raised.value)
    assert text.startswith("gauge.csv: ")
    assert text.isprintable()
    return text


class TestWhoseRecordItIs:
    def test_a_published_station_knows_its_own_gauge(self):
        """NOAA's constants of Honolulu against UHSLC's levels: two agencies, one water."""
        found = residuals_of(published_station("1612340"), *honolulu(), "gauge.csv")
        assert np.nanstd(found.level) < 0.08
        assert found.cleaning.zero > 0.5  # the gauge's own zero lies below MLLW
        assert abs(np.nanmean(found.level)) < 1e-9

    @pytest.mark.parametrize("station", ["8729840", "8724580", "8443970", "9447130"])
    def test_another_place_is_refused(self, station):
        text = refused(published_station(station), *honolulu())
        assert "another" in text
        assert "place" in text

    @pytest.mark.parametrize(
        ("factor", "meaning"),
        [
            (1 / 0.3048, "feet read as metres"),
            (0.3048, "metres read as feet"),
            (100.0, "centimetres read as metres"),
            (1000.0, "millimetres read as metres"),
        ],
    )
    def test_a_mistaken_unit_is_named(self, factor, meaning):
        t, level = honolulu()
        assert meaning in refused(published_station("1612340"), t, level * factor)

    @pytest.mark.parametrize(
        ("hours", "meaning"),
        [
            (-10.0, "10 h behind"),
            (-5.0, "5 h behind"),
            (1.0, "1 h ahead of"),
            (5.5, "5.5 h ahead of"),
            (9.0, "9 h ahead of"),
        ],
    )
    def test_a_mistaken_zone_is_named(self, hours, meaning):
        t, level = honolulu()
        text = refused(published_station("1612340"), t + hours * HOUR, level)
        assert f"a clock {meaning} the zone it was read in" in text

    def test_a_lag_of_no_zone_is_another_place_or_clock(self):
        t, level = honolulu()
        text = refused(published_station("1612340"), t + 2220.0, level)
        assert "0 h 3" in text
        assert "another place or a wrong clock" in text

    def test_unit_and_zone_are_told_at_once(self):
        t, level = honolulu()
        text = refused(published_station("1612340"), t + 3 * HOUR, level * 100.0)
        assert "centimetres read as metres and " in text
        assert "3 h ahead of" in text

    def test_levels_upside_down_are_no_tide_of_the_station(self):
        t, level = honolulu()
        refused(published_station("1612340"), t, -level)

    def test_noise_has_no_tide(self):
        t, _level = honolulu()
        noise = np.random.default_rng(2).normal(size=len(t))
        assert "no tide" in refused(published_station("1612340"), t, noise)

    def test_two_months_of_readings_are_needed_gaps_not_counted(self):
        t, level = honolulu()
        level = level.copy()
        level[24 * 40 : 24 * 300] = np.nan
        level[24 * 310 :] = np.nan
        assert refused(published_station("1612340"), t, level) == (
            "gauge.csv: found 50 days of readings; expected at least 60, better a year or more"
        )

    @pytest.mark.parametrize("first", range(0, 300, 60))
    def test_sixty_days_of_a_windy_gauge_are_known_again(self, first):
        t, level = dry_bar()
        good = np.isfinite(level) & (t >= utc("2013-01-01 00:00"))
        t, level = t[good][first * 24 : (first + 60) * 24], level[good][first * 24 : (first + 60) * 24]
        residuals_of(fitted("dry bar", "2013-01-01 00:00"), t, level, "gauge.csv")


class TestCleaning:
    def test_a_clean_record_gives_its_weather_back(self):
        t, level, weather = made()
        found = residuals_of(published_station("8724580"), t, level, "gauge.csv")
        assert found.start == t[0]
        assert np.abs(found.level - weather).max() < 0.0006
        assert found.cleaning.flaws == ()
        assert found.cleaning.zero == 0.0
        assert found.end == t[-1] + HOUR

    def test_spikes_are_left_out(self):
        t, level, weather = made()
        level[[500, 1500]] += [1.5, -1.0]
        found = residuals_of(published_station("8724580"), t, level, "gauge.csv")
        assert [flaw.kind for flaw in found.cleaning.flaws] == ["spike", "spike"]
        assert np.abs(found.level - weather).max() < 0.1

    def test_of_a_storm_with_spikes_the_rest_stays(self):
        """Tropical storm Debby, 24 June 2012, stood 0.9 m above the tide at Dry Bar."""
        found = residuals_of(fitted("dry bar", "2013-01-01 00:00"), *dry_bar(), "gauge.csv")
        storm = (found.t >= utc("2012-06-24 12:00")) & (found.t < utc("2012-06-25 12:00"))
        assert np.isfinite(found.level[storm]).all()
        assert np.nanmax(found.level[storm]) > 0.7

    def test_a_shifted_datum_is_put_right(self):
        t, level, weather = made()
        level[2000:] += 0.6
        found = residuals_of(published_station("8724580"), t, level, "gauge.csv")
        assert [flaw.kind for flaw in found.cleaning.flaws] == ["shifted datum"]
        assert abs(np.mean((found.level - weather)[:2000]) - np.mean((found.level - weather)[2000:])) < 0.1

    def test_a_shifted_clock_is_left_out(self):
        t, level, _ = made(days=200)
        late = slice(100 * 24, 140 * 24)
        shifted = level.copy()
        shifted[late] = levels(published_station("8724580"), t[late] - HOUR)
        found = residuals_of(published_station("8724580"), t, shifted, "gauge.csv")
        assert "shifted clock" in [flaw.kind for flaw in found.cleaning.flaws]
        assert np.isnan(found.level[105 * 24 : 135 * 24]).all()
        assert np.isfinite(found.level[: 95 * 24]).all()

    def test_a_stuck_gauge_is_left_out(self):
        t, level, _ = made()
        level[700:730] = level[700]
        found = residuals_of(published_station("8724580"), t, level, "gauge.csv")
        assert np.isnan(found.level[701:729]).all()

    @pytest.mark.parametrize(("hours", "bridged"), [(1, True), (6, True), (7, False), (100, False)])
    def test_short_gaps_are_bridged_and_long_ones_stay(self, hours, bridged):
        t, level, _weather = made()
        keep = np.ones(len(t), dtype=bool)
        keep[900 : 900 + hours] = False
        found = residuals_of(published_station("8724580"), t[keep], level[keep], "gauge.csv")
        gap = found.level[900 : 900 + hours]
        assert np.isfinite(gap).all() if bridged else np.isnan(gap).all()
        assert np.isfinite(np.delete(found.level, slice(900, 900 + hours))).all()
        assert (found.cleaning.missing > 0) is not bridged

    @pytest.mark.parametrize(("step", "shift"), [(360.0, 0.0), (900.0, 0.0), (HOUR, 1800.0), (HOUR, 420.0)])
    def test_readings_at_any_step_become_hourly(self, step, shift):
        t = year_start(2021) + shift + step * np.arange(int(90 * DAY / step))
        swell = 0.1 * np.sin(2 * np.pi * t / (4 * DAY))
        level = np.round(levels(published_station("8724580"), t) + swell, 3)
        found = residuals_of(published_station("8724580"), t, level, "gauge.csv")
        inside = slice(2, -2)
        expected = 0.1 * np.sin(2 * np.pi * found.t / (4 * DAY))
        assert (found.t % HOUR == 0).all()
        assert np.abs(found.level - expected)[inside].max() < 0.0015

    def test_another_zero_is_taken_off_and_a_risen_sea_is_not(self):
        t, level, weather = made()
        station = published_station("8724580")
        other = residuals_of(station, t, level + 2.5, "gauge.csv")
        risen = residuals_of(station, t, level + 0.12, "gauge.csv")
        assert other.cleaning.zero == pytest.approx(2.5 + weather.mean(), abs=0.01)
        assert abs(np.mean(other.level)) < 1e-9
        assert risen.cleaning.zero == 0.0
        assert np.mean(risen.level) == pytest.approx(0.12 + weather.mean(), abs=0.001)

    def test_a_part_of_residuals_keeps_its_hours(self):
        t, level, _ = made()
        whole = residuals_of(published_station("8724580"), t, level, "gauge.csv")
        part = whole.between(t[100] - 1.0, t[200] + 1.0)
        assert part.start == t[100]
        assert part.end == t[201]
        assert np.array_equal(part.level, whole.level[100:201])
        assert len(whole.between(t[-1] + DAY, t[-1] + 2 * DAY).level) == 0
