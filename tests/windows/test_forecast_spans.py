"""Forecasts of any span: parts and wholes, lags, today, secondary stations, dates without a sky."""

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harmonics.errors import EbblightError
from tests.conftest import published_rows
from tests.windows.conftest import LONG_AGO, AgencyStation, at, edges, one_spot, sessions_of, windows_of
from tests.windows.strategies import places, rows, spot_keys
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.shoreline.shore import read_shore

MINUTE = 60.0
SEMIDIURNAL = [("M2", 1.2, 100.0), ("S2", 0.3, 140.0), ("N2", 0.2, 70.0)]
ONLY_FLOW = "points = { flow = 100, light = 0, moon = 0 }\n"


@pytest.mark.parametrize("minutes", [-45, 35, 120])
def test_a_slack_lag_moves_windows_by_exactly_the_lag(forecast, minutes):
    still = forecast(one_spot(SEMIDIURNAL, ONLY_FLOW + "slack_lag = 0"), date(2026, 8, 1), days=14)
    moved = forecast(one_spot(SEMIDIURNAL, ONLY_FLOW + f"slack_lag = {minutes}"), date(2026, 8, 1), days=14)
    shift = minutes * 60
    starts = {window.start + shift for window in windows_of(still)}
    found = [window for window in windows_of(moved) if still.spots[0].days[1].start < window.start]
    found = [window for window in found if window.start < still.spots[0].days[-2].end]
    assert len(found) > 20
    assert {window.start for window in found} <= starts
    for item in moved.ranking:
        assert item.hours_after_turn > 0 or minutes < 0
        # Its own ebb is the one that began a lag after that high water.
        assert item.turn_before.t + shift < item.session.peak
        assert item.turn_after is None or item.session.peak < item.turn_after.t + shift


def test_only_today_leaves_out_what_is_past(forecast):
    text = one_spot(SEMIDIURNAL, ONLY_FLOW + "slack_lag = 0")
    before = forecast(text, date(2026, 8, 9))
    second = before.spots[0].days[1].sessions[0].session.window
    now = second.start + 47 * 60
    after = forecast(text, date(2026, 8, 9), now=now)
    days = list(zip(before.spots[0].days, after.spots[0].days, strict=True))
    for index, (whole, cut) in enumerate(days):
        if index != 1:
            assert [s.session.window for s in cut.sessions] == [s.session.window for s in whole.sessions]
    today = [item.session.window for item in days[1][1].sessions]
    assert all(window.end > now for window in today)
    assert (today[0].start, today[0].end, edges(today[0])[0]) == (now, second.end, "you can be there")
    assert all(item.session.start >= now for item in days[1][1].sessions)


@settings(max_examples=20)
@given(rows, places(), spot_keys, st.dates(date(2020, 1, 5), date(2029, 12, 5)), st.integers(1, 9))
def test_a_span_in_two_parts_gives_the_same_sessions(shores, coast, place, keys, first, days):
    if first.year != (first + timedelta(days=12)).year:
        return  # the flow's limits follow the year of the span's middle
    shore = shores(one_spot(coast, keys, **place))
    parts = [(first, 10), (first, days), (first + timedelta(days=days), 10 - days)]
    whole, start, rest = (
        sessions_of(make_forecast(shore, shore.spots, *part, Outlook(LONG_AGO))) for part in parts
    )
    assert [(s.window, s.start, s.end) for s in whole] == [(s.window, s.start, s.end) for s in start + rest]
    assert [s.points.total for s in whole] == pytest.approx([s.points.total for s in start + rest], abs=1e-6)


def test_sessions_over_midnight_keep_out_of_each_other_s_way_day_by_day(shores):
    """Dusk and dawn fall in one diurnal ebb: long sessions of both overlap, and only the better stays."""
    keys = 'session = "10h"\nslack_lag = 0\npoints = { flow = 30, light = 65, moon = 5 }'
    shore = shores(one_spot([("K1", 0.4, 60.0), ("O1", 0.1, 0.0)], keys))
    whole = sessions_of(make_forecast(shore, shore.spots, date(2026, 5, 1), 60, Outlook(LONG_AGO)))
    by_day = [
        session
        for day in range(60)
        for session in sessions_of(
            make_forecast(shore, shore.spots, date(2026, 5, 1) + timedelta(days=day), 1, Outlook(LONG_AGO))
        )
    ]
    assert [(s.window, s.start) for s in by_day] == [(s.window, s.start) for s in whole]
    assert all(first.end <= second.start for first, second in pairwise(by_day))


@pytest.fixture(scope="module")
def shores(tmp_path_factory):
    path = tmp_path_factory.mktemp("shores") / "shore.toml"

    def read(text):
        path.write_text(text, encoding="utf-8")
        return read_shore(path)

    return read


def test_a_secondary_station_serves_a_spot_between_its_own_turns(tmp_path):
    """Sewells Point's differences for 8638596 as published: +18 and +4 minutes, x1.06 and x0.83."""
    station = AgencyStation.of("8638610")
    follower = """
[[stations]]
id = "follower"
name = "Follower"
reference = "gauge"
high_water = { minutes = 18, factor = 1.06 }
low_water = { minutes = 4, factor = 0.83 }
"""
    shore = station.shore(tmp_path, ("pier", "slack_lag = 0\n" + ONLY_FLOW))
    path = tmp_path / "8638610.toml"
    spot = path.read_text(encoding="utf-8").replace('station = "gauge"', 'station = "follower"')
    path.write_text(spot.replace("[[spots]]", follower + "\n[[spots]]", 1), encoding="utf-8")
    shore = read_shore(path)
    rows = published_rows("noaa_hilo_8638596_2020-11.csv")
    times = [at(row["time_utc"]) for row in rows]
    first = datetime.fromtimestamp(times[0], UTC).date()
    made = make_forecast(shore, shore.spots, first, 4, Outlook(LONG_AGO))
    ebbs = [
        (start, end)
        for (start, one), (end, _) in pairwise(zip(times, rows, strict=True))
        if one["type"] == "H"
    ]
    inside = [w for w in windows_of(made) if ebbs[0][0] <= w.start and w.end <= ebbs[-1][1]]
    assert len(inside) >= len(ebbs) - 1 >= 2
    for window in inside:
        assert any(start - MINUTE <= window.start and window.end <= end + MINUTE for start, end in ebbs)


@pytest.mark.parametrize(
    "first, days",
    [
        (date(1, 1, 1), 7),
        (date(9999, 12, 30), 7),
        (date(2053, 10, 6), 7),
        (date(1899, 7, 29), 1),
        (date(2026, 1, 1), 10**8),
        (date(2026, 1, 1), 10**10),
    ],
)
def test_dates_outside_the_ephemeris_are_refused_in_words(forecast, first, days):
    with pytest.raises(EbblightError, match="no forecast of windows there"):
        forecast(one_spot(SEMIDIURNAL), first, days=days)


def test_spots_of_one_forecast_are_those_of_each_alone(tmp_path):
    """Sky shared by all spots changes nothing for any of them."""
    station = AgencyStation.of("9447130")
    names = [(f"spot{i}", keys) for i, keys in enumerate(("", "slack_lag = 30", 'light = "night"'))]
    shore = station.shore(tmp_path, *names, units="feet")
    together = make_forecast(shore, shore.spots, date(2026, 8, 1), 10, Outlook(LONG_AGO))
    assert [report.spot.id for report in together.spots] == [name for name, _ in names]
    for index, spot in enumerate(shore.spots):
        alone = make_forecast(shore, [spot], date(2026, 8, 1), 10, Outlook(LONG_AGO))
        assert sessions_of(alone) == sessions_of(together, index)
