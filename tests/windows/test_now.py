"""The water of one instant against the commands that tell it otherwise: `levels`, `currents`, `week`."""

import csv
import io
import random
from datetime import date, timedelta

import numpy as np
import pytest

from tests.cli.runs import DEMOS, NOW, REPOSITORY, document, done, refused, rows, run, utc
from tests.coasts import SIMPLE_STATION, current, head, simple, spot, written
from tests.windows.conftest import local_date
from windows.conditions.outlook import Outlook
from windows.forecast.leaving import leaving_of
from windows.forecast.making import make_forecast
from windows.forecast.now import make_now
from windows.shoreline.shore import read_shore

LONG_AGO = 0.0
"""A clock from which no day asked for is partly over."""
# Minutes around changes of clocks (IANA time zone database): London, Chicago, Auckland.
CHANGES = ("2026-03-29 00:59", "2026-10-25 01:10", "2026-03-08 07:59", "2026-11-01 06:30", "2026-04-04 14:00")


def minutes(count, seed):
    """Random minutes of 2026, half of them on the steps of a score curve, changes of clocks among them."""
    chosen = random.Random(seed)
    first = utc("2026-01-01 00:00")
    steps = [(60.0, 300.0)[number % 2] for number in range(count - len(CHANGES))]
    some = [first + step * chosen.randrange(int(365 * 86400 / step)) for step in steps]
    return [*some, *map(utc, CHANGES)]


def instant(t):
    return f"{np.datetime64(int(t), 's')}Z"


def check_spots(path, t):
    """Every spot of a file at an instant, against the week's own sessions and another sum of its parts."""
    shore = read_shore(path)
    report = make_now(shore, shore.spots, Outlook(t))
    day = local_date(t, shore.head.zone)
    around = make_forecast(shore, shore.spots, day - timedelta(days=2), 5, Outlook(LONG_AGO))
    coming = make_forecast(shore, shore.spots, day, 8, Outlook(t))
    for item, whole, ahead in zip(report.spots, around.spots, coming.spots, strict=True):
        curve = whole.curve
        assert item.reading.level == pytest.approx(np.interp(t, curve.t, curve.level), abs=2e-3)
        assert item.outgoing == pytest.approx(np.interp(t, curve.t, curve.outgoing), abs=2e-2)
        edges = [slack for slack in (item.since, item.until) if slack is not None]
        assert all(abs(np.interp(slack.t, curve.t, curve.outgoing)) < 1e-3 for slack in edges)
        if item.since and item.until:
            assert item.since.t <= t < item.until.t
            assert item.since.goes_out is not item.until.goes_out
            between = (curve.t > item.since.t) & (curve.t < item.until.t)
            assert np.all((curve.outgoing[between] > 0) == item.since.goes_out)
        step = int(np.searchsorted(curve.t, t))
        if curve.t[step] == t:
            assert item.points.total == pytest.approx(curve.total[step], abs=1e-3)
            assert (item.shut is None) == bool(curve.open[step])
        held = [s.session.window for d in whole.days for s in d.sessions]
        held = [window for window in held if window.start <= t < window.end]
        assert not held or item.window == held[0]
        if item.window is not None:
            assert item.window.start <= t < item.window.end
            assert item.left == item.window.end - t
        free = t if item.window is None else item.window.end
        left = [s for d in ahead.days for s in d.sessions if s.session.start >= free]
        assert (item.next is None) == (not left)
        if item.next is not None:
            assert item.next.session.start == min(s.session.start for s in left)
            if leaving_of(item.spot, shore).known:
                assert item.next.leave_by is not None
                assert item.next.leave_by >= t
    return report


@pytest.mark.parametrize(("number", "t"), list(enumerate(minutes(8, seed=10))))
def test_it_agrees_with_the_week_at_random_instants(number, t):
    check_spots(DEMOS[number % len(DEMOS)], t)


@pytest.mark.parametrize("t", minutes(7, seed=3))
def test_it_agrees_with_levels_week_and_currents_through_the_command(tmp_path, t):
    waves = [("M2", 1.1, 200.0), ("S2", 0.3, 240.0), ("K1", 0.1, 80.0)]
    path = written(
        tmp_path,
        head("Europe/London"),
        SIMPLE_STATION,
        current("narrows", waves, latitude=50.1, longitude=-5.2),
        spot(
            "rock",
            "pier",
            50.1,
            -5.2,
            'depth_at_datum = 3.0\ntravel = "30min"\nflow = { current = "narrows" }',
        ),
    )
    (found,) = rows("now", path, now=t)
    day = found["time_local"][:10]
    assert found["time_utc"] == instant(t)
    levels = {
        row["time_utc"]: row for row in rows("levels", path, "--start", day, "--days", 1, "--step", "1min")
    }
    assert float(found["level_m"]) == pytest.approx(float(levels[instant(t)]["height_m"]), abs=1e-9)
    assert float(found["depth_m"]) == pytest.approx(float(found["level_m"]) + 3.0)
    first = date.fromisoformat(day) - timedelta(days=2)
    events = rows("currents", path, "--start", first, "--days", 5)
    slacks = [utc(row["time_utc"]) for row in events if row["event"] == "slack"]
    assert utc(found["since_utc"]) == pytest.approx(max(s for s in slacks if s <= t), abs=30.0)
    assert utc(found["until_utc"]) == pytest.approx(min(s for s in slacks if s > t), abs=30.0)
    following = next(row for row in events if utc(row["time_utc"]) > t and row["event"] != "slack")
    after_turn = utc(following["time_utc"]) > utc(found["until_utc"])
    assert (float(found["speed_kn"]) > 0) is ((following["event"] == "ebb") is not after_turn)
    week = sorted(rows("week", path, "--days", 8, now=t), key=lambda row: row["session_start_utc"])
    free = utc(found["window_end_utc"]) if found["window_end_utc"] else t
    row = next(row for row in week if utc(row["session_start_utc"]) >= free)
    for name, other in (
        ("next_start_utc", "session_start_utc"),
        ("next_end_local", "session_end_local"),
        ("next_points", "points"),
        ("leave_by_local", "leave_by_local"),
    ):
        assert found[name] == row[other]


def test_json_holds_the_rows_after_a_header(tmp_path):
    path, t = simple(tmp_path), utc("2026-08-10 09:30")
    found = document("now", path, now=t)
    assert found["made_at"] == "2026-08-10T09:30:00Z"
    assert found["todays_water"] == []
    (row,), (text,) = found["rows"], rows("now", path, now=t)
    assert list(row) == list(text)
    for key, value in row.items():
        assert text[key] == ("" if value is None else str(value))


def test_chances_of_the_window_and_of_the_next_session_come_of_a_record_alone(tmp_path):
    """The next one's is that of the week; the columns are there without a record, and empty."""
    (plain,) = rows("now", simple(tmp_path))
    assert plain["chance"] == plain["next_chance"] == ""
    (before,) = of_the_lagoon("now")
    week = of_the_lagoon("week", "--days", 8)
    session = next(row for row in week if row["session_start_utc"] == before["next_start_utc"])
    assert before["next_chance"] == session["chance"] != ""
    (inside,) = of_the_lagoon("now", now=utc(session["peak_utc"]))
    assert 0.0 < float(inside["chance"]) <= 1.0


def of_the_lagoon(command, *options, now=NOW):
    """Rows of the first spot that a record tells chances of; what is said beside them is not looked at."""
    path = REPOSITORY / "demo_stations/recorded/brindle_lagoon.toml"
    first = read_shore(path).spots[0].id
    text = run(command, path, "--spot", first, *options, "--format", "csv", now=now).out
    return list(csv.DictReader(io.StringIO(text)))


def test_a_person_reads_one_screen_and_a_message_fits_a_phone():
    for path in DEMOS:
        shown = done("now", path, columns="120")
        assert len(shown.splitlines()) <= 24
        assert "Not for navigation" in shown
        assert all(item.name in " ".join(shown.split()) for item in read_shore(path).spots)
        assert len(done("now", path, "--format", "text")) < 500


def test_words_of_a_window_of_a_shut_spot_and_of_what_comes_next(tmp_path):
    path = simple(tmp_path)
    (row,) = rows("week", path, "--start", "2026-08-11", "--days", 1)[:1]
    inside = utc(row["window_end_utc"]) - 65 * 60
    assert "good now: 1 h 05 min left of" in done("now", path, now=inside, columns="160")
    after = done("now", path, now=utc(row["window_end_utc"]), columns="160")
    assert "good now" not in after
    assert "next " in after
    closed = simple(tmp_path, more=("greatest_level = -1.0\n",))
    assert "shut: the water is above the spot's greatest level; no session" in done(
        "now", closed, now=inside, columns="200"
    )


def test_readings_move_the_level_and_are_told(tmp_path):
    path, t = simple(tmp_path), utc("2026-08-10 09:30")
    (plain,) = rows("now", path, now=t)
    levels = rows("levels", path, "--start", "2026-08-09", "--days", 2, "--step", "10min")
    lines = [f"{r['time_utc']},{float(r['height_m']) + 0.2}" for r in levels if utc(r["time_utc"]) <= t]
    readings = tmp_path / "gauge.csv"
    readings.write_text("\n".join(["time_utc,height_m", *lines]), encoding="utf-8")
    (moved,) = document("now", path, "--observed", readings, now=t)["rows"]
    assert moved["departure_m"] == pytest.approx(0.2, abs=1e-6)
    assert moved["level_m"] == pytest.approx(float(plain["level_m"]) + 0.2, abs=1e-6)
    assert "0.20 m above the prediction" in done("now", path, "--observed", readings, now=t)


def test_a_reading_moves_the_level_as_a_file_of_one_does(tmp_path):
    path, t = simple(tmp_path), utc("2026-08-10 09:30")
    (plain,) = rows("now", path, now=t)
    wanted = float(plain["level_m"]) + 0.2
    for text in (f"{wanted:.3f}", f"{wanted:.3f}".replace(".", ","), f"{wanted:.3f}@2026-08-10 10:30"):
        (moved,) = document("now", path, "--reading", text, now=t)["rows"]
        assert moved["departure_m"] == pytest.approx(0.2, abs=1e-3)
        assert moved["level_m"] == pytest.approx(wanted, abs=1e-3)
    older = done("now", path, "--reading", "3@08:30", now=t)
    assert "The newest reading is 2 h 00 min old" in older


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("high", "expected a level in the unit of the file"),
        ("2.4@25:00", "expected a time such as"),
        ("2.4@2026-08-12 10:00", "later than now"),
        ("24", "the reading: the observed levels stand"),
    ],
)
def test_a_reading_that_can_not_be_is_refused(tmp_path, text, told):
    found = run("now", simple(tmp_path), "--reading", text, now=utc("2026-08-10 09:30"))
    assert found.code in {1, 2} and found.out == ""
    assert told in found.err


def test_a_reading_stands_alone(tmp_path):
    found = run("now", simple(tmp_path), "--reading", "2", "--observed", tmp_path / "gauge.csv")
    assert found.code == 2 and "stands without --observed" in found.err


def test_a_spot_that_is_not_there_and_days_beyond_the_sky_are_refused(tmp_path):
    path = simple(tmp_path)
    assert "nowhere" in refused(1, "now", path, "--spot", "nowhere")
    assert "no forecast of windows there" in refused(1, "now", path, now=utc("2999-12-31 12:00"))
