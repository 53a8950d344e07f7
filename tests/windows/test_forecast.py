"""Forecasts of published stations over the whole of 2026, read week by week, against independent sums."""

from datetime import UTC, date, datetime
from itertools import pairwise

import ephem
import numpy as np
import pytest

from harmonics.stations import prediction, tides
from harmonics.stations.datums import Regime, regime
from harmonics.sums.waves import year_start
from tests.conftest import published_rows
from tests.windows.conftest import (
    AGENCY_STATIONS,
    FIRST_WEEK,
    LONG_AGO,
    WEEKS,
    AgencyStation,
    one_spot,
    sessions_of,
    windows_of,
    year_of_weeks,
)
from windows.astronomy import Body, Sky
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.forecast.ranking import RankGroup
from windows.forecast.reports import Lack, Note
from windows.shoreline.spots import Factor

KNOWN, ASSUMED_TURN = 0, 1
LAG = 20 * 60.0
MINUTE = 60.0
KEEP = 50.0
KEPT_WITHIN = 0.05
"""Points by which two independent sums of one score may differ; a score changes by about 0.3 a minute."""


def falling_rate(spot, t, lag):
    """Fall in m/s by differences of levels at scattered times: no use of the analytic rate or even steps."""
    t = np.asarray(t, dtype=float) - lag
    return (prediction.levels(spot.station, t - 30.0) - prediction.levels(spot.station, t + 30.0)) / 60.0


def all_windows(year, index):
    return [window for week in year.weeks for window in windows_of(week, index)]


@pytest.mark.parametrize("index, lag", [(KNOWN, LAG), (ASSUMED_TURN, 0.0)])
def test_water_goes_out_all_through_every_window(year, index, lag):
    spot = year.spot(index)
    ends = [edge for window in all_windows(year, index) for edge in (window.start, window.end)]
    inside = [np.arange(w.start, w.end, 5 * MINUTE) for w in all_windows(year, index)]
    minutes = np.concatenate([ends, *inside])
    minutes = minutes[np.abs(minutes - lag - year_start(2027)) > MINUTE]  # yearly factors step there
    assert falling_rate(spot, minutes, lag).min() > 0


def test_a_spot_has_the_turns_of_its_days_and_those_around_them(year):
    report = year.weeks[0].spots[KNOWN]
    days = [turn for day in report.days for turn in day.turns]
    inside = report.turns.between(report.days[0].start, report.days[-1].end)
    assert len(days) > 10
    assert [turn.t for turn in days] == inside.t.tolist()
    assert [turn.height for turn in days] == inside.height.tolist()
    assert [turn.high for turn in days] == inside.high.tolist()
    assert report.turns.t[0] < report.days[0].start and report.turns.t[-1] > report.days[-1].end


@pytest.mark.parametrize("station_id", AGENCY_STATIONS)
def test_windows_lie_between_published_high_water_and_low_water(station_id, tmp_path):
    rows = published_rows(f"noaa_hilo_{station_id}_2026-08.csv")
    times = [datetime.fromisoformat(row["time_utc"]).replace(tzinfo=UTC).timestamp() for row in rows]
    ebbs = [
        (start, end)
        for (start, first), (end, _) in pairwise(zip(times, rows, strict=True))
        if first["type"] == "H"
    ]
    shore = AgencyStation.of(station_id).shore(tmp_path, ("pier", 'slack_lag = 0\nlight = "any"'))
    made = make_forecast(shore, shore.spots, date(2026, 8, 14), 8, Outlook(LONG_AGO))
    inside = [w for w in windows_of(made) if w.start >= ebbs[0][0] and w.end <= times[-1]]
    assert len(inside) >= 0.7 * len(ebbs)
    for window in inside:
        assert any(start - MINUTE <= window.start and window.end <= end + MINUTE for start, end in ebbs), (
            window
        )


@pytest.mark.parametrize("index", [KNOWN, ASSUMED_TURN])
def test_no_session_overlaps_another_of_its_spot_all_year(year, index):
    sessions = sorted(
        (session for week in year.weeks for session in sessions_of(week, index)), key=lambda s: s.start
    )
    assert all(first.end <= second.start for first, second in pairwise(sessions))


def test_weeks_and_the_whole_year_give_the_same_sessions(year):
    whole = make_forecast(year.shore, year.shore.spots, FIRST_WEEK, 7 * WEEKS, Outlook(LONG_AGO))
    last = WEEKS - 1  # the last week reaches into 2027, whose node factors set other limits
    for index in (KNOWN, ASSUMED_TURN):
        by_week = [session for week in year.weeks[:last] for session in sessions_of(week, index)]
        expected = [
            s for s in sessions_of(whole, index) if s.window.start < year.weeks[last].spots[0].days[0].start
        ]
        assert [s.window for s in by_week] == [s.window for s in expected]
        assert [(s.start, s.end) for s in by_week] == [(s.start, s.end) for s in expected]
        assert [s.points.total for s in by_week] == pytest.approx(
            [s.points.total for s in expected], abs=1e-6
        )


def sun_altitude(station, t):
    """Airless topocentric altitude of the sun's centre, degrees, by an independent library."""
    observer, sun = ephem.Observer(), ephem.Sun()
    observer.lat, observer.lon = str(station.latitude), str(station.longitude)
    observer.pressure, observer.elevation = 0, 0
    observer.date = ephem.Date(datetime.fromtimestamp(t, UTC).replace(tzinfo=None))
    sun.compute(observer)
    return float(np.degrees(sun.alt))


def score_margin(year, moon, t):
    """How far the score of the spot with a known lag is above what a window needs, points.

    The rules of the design written down anew: 60 for flow, 35 for low light, 5 for the moon.
    """
    spot = year.spot(KNOWN)
    peak = tides.peak_rate(spot.station, 2026)
    nothing = max(0.15 * peak, 0.015 / 3600)
    flow = float(np.clip((falling_rate(spot, [t], LAG)[0] - nothing) / (0.8 * peak - nothing), 0, 1))
    altitude = sun_altitude(year.station, t)
    if altitude < -6:
        light = max(0.3, 0.3 + 0.7 * (altitude + 12) / 6)
    else:
        light = 1.0 if altitude <= 6 else max(0.15, 1.0 - 0.85 * (altitude - 6) / 14)
    transits, horizons = moon
    solunar = 0.0
    if any(event - 1800 <= t < event + 1800 for event in horizons):
        solunar = 0.6
    if any(event - 3600 <= t < event + 3600 for event in transits):
        solunar = 1.0
    return min(60 * flow + 35 * light + 5 * solunar - KEEP, 60 * (flow - 0.5))


def test_edges_are_where_an_independent_score_flips_within_the_minute(year):
    station = year.station
    sky = Sky(year.weeks[0].spots[0].days[0].start - 86400, year.weeks[-1].spots[0].days[-1].end + 86400)
    rises, sets = sky.rises_and_sets(Body.MOON, station.latitude, station.longitude)[0]
    uppers, lowers = sky.transits(Body.MOON, station.longitude)[0]
    windows = [w for week in year.weeks[:-1:6] for w in windows_of(week, KNOWN)]
    assert len(windows) > 15
    for window in windows:
        near = [
            [t for part in parts for t in part if abs(t - window.start) < 86400]
            for parts in ((uppers, lowers), (rises, sets))
        ]
        outside = score_margin(year, near, window.start - MINUTE), score_margin(year, near, window.end)
        inside = score_margin(year, near, window.start), score_margin(year, near, window.end - MINUTE)
        assert max(outside) < KEPT_WITHIN
        assert min(inside) > -KEPT_WITHIN


def test_assumed_turns_are_rounded_to_ten_minutes_and_say_so(year):
    for week in year.weeks:
        for item in week.ranking:
            window, session = item.session.window, item.session
            noted = "check at the spot" in " ".join(item.notes)
            assert noted == (item.spot.slack_lag is None)
            if noted:
                assert window.start % 600 == window.end % 600 == session.start % 600 == 0


@pytest.fixture(scope="module")
def diurnal():
    return year_of_weeks("8729840")


def test_nearly_tideless_days_of_the_diurnal_coast_say_so_and_rank_nothing(diurnal):
    """Around the moon's equator crossings the tide nearly vanishes (Courtier 1938, from memory)."""
    sky = Sky(diurnal.weeks[0].spots[0].days[0].start, diurnal.weeks[-1].spots[0].days[-1].end)
    crossings = sky.moon_equator_crossings()
    assert len(crossings) == pytest.approx(WEEKS * 7 / 13.66, abs=1.5)  # two every 27.3 days
    assert regime(diurnal.spot(KNOWN).station.constants) is Regime.DIURNAL
    tideless = set()
    for week in diurnal.weeks:
        for day in week.spots[KNOWN].days:
            lack = day.no_window
            if lack is None or lack.lack is not Lack.STILL:
                continue
            assert not day.sessions
            assert lack.strongest < lack.needed
            if lack.crossing is not None:
                nearest = crossings[np.abs(crossings - lack.crossing).argmin()]
                assert lack.crossing == pytest.approx(nearest, abs=1)
                assert abs(lack.crossing - (day.start + day.end) / 2) <= 3.5 * 86400
                tideless.add(round(nearest))
    whole_fortnights = [t for t in crossings[1:-1]]
    assert {round(t) for t in whole_fortnights} <= tideless


def test_ranges_of_still_days_are_small_beside_those_that_rank(diurnal):
    days = [day for week in diurnal.weeks for day in week.spots[KNOWN].days if day.greatest_range is not None]
    still = [d.greatest_range for d in days if d.no_window is not None and d.no_window.lack is Lack.STILL]
    ranking = [day.greatest_range for day in days if day.sessions]
    assert np.median(still) < 0.5 * np.median(ranking)


def test_springs_rank_above_neaps_on_a_three_metre_coast_at_equal_light():
    year = year_of_weeks("8443970")
    assert regime(year.spot(0).station.constants) is Regime.SEMIDIURNAL
    days = [day for week in year.weeks[:-1] for day in week.spots[ASSUMED_TURN].days]
    for start in range(0, len(days), 30):
        month = [day for day in days[start : start + 30] if day.best is not None]
        by_range = sorted(month, key=lambda day: day.greatest_range)
        points = [day.best.session.points.total for day in by_range]
        third = len(points) // 3
        assert np.mean(points[-third:]) > np.mean(points[:third]) + 2
        best = max(month, key=lambda day: day.best.session.points.total)
        worst = min(month, key=lambda day: day.best.session.points.total)
        assert best.greatest_range > worst.greatest_range


@pytest.mark.parametrize("index", [KNOWN, ASSUMED_TURN])
def test_sessions_stand_apart_under_their_own_day_and_sum_up(year, index):
    for week in year.weeks:
        reports = [item for day in week.spots[index].days for item in day.sessions]
        for day in week.spots[index].days:
            assert all(
                day.start <= item.session.start < day.end and item.day == day.day for item in day.sessions
            )
        sessions = sorted((item.session for item in reports), key=lambda item: item.start)
        assert all(one.end <= other.start for one, other in pairwise(sessions))
        for session in sessions:
            assert sum(session.points[factor] for factor in Factor) == pytest.approx(session.points.total)
            assert 0.0 <= session.low <= session.high <= 100.0
            assert session.start >= session.window.start - 900.0


def test_every_group_ranks_its_sessions_once(year):
    for week in year.weeks:
        every = [item for report in week.spots for day in report.days for item in day.sessions]
        assert sorted(map(id, every)) == sorted(map(id, week.ranking))
        for group in RankGroup:
            ranks = [item.rank for item in week.group(group)]
            assert ranks == sorted(ranks)
            assert all(rank == 1 + sum(other < rank for other in ranks) for rank in ranks)


def test_a_session_is_short_only_where_it_is_less_than_one_wants_to_fish(forecast):
    """Each ebb is scored for hours: a session of one hour finds room, one of eight never does."""
    for hours, short in (("1h", False), ("8h", True)):
        made = forecast(
            one_spot([("S2", 1.0, 0.0)], f'slack_lag = 0\nsession = "{hours}"'), date(2026, 8, 3), 3
        )
        found = [item for day in made.spots[0].days for item in day.sessions]
        assert len(found) >= 3
        assert {Note.SHORT in item.notes for item in found} == {short}
