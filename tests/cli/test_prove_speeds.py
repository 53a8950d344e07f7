"""`prove` of a current by observed speeds, made so that the truth is known."""

import json

import numpy as np
import pytest

from harmonics.sums.waves import year_start
from tests.cli.runs import done, refused, rows
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, current, head, written

OMEGA = 2 * np.pi / 43200.0
SEEN = ("--current", "race", "--speeds")


def file_of(folder):
    """A current of S2 alone: 1.5 kn along 40 degrees, greatest at 2 h and 14 h UTC."""
    race = current("race", [("S2", 1.5, 60.0)], flood=40)
    return written(folder, head("Europe/London"), SIMPLE_STATION, SIMPLE_SPOT, race)


def seen(folder, late=0.0, strength=1.0, more=0.0, days=10, across=0.3):
    """Observed currents every half hour, so late and so strong, with a set across."""
    t = year_start(2026) + 1800.0 * np.arange(days * 48)
    along = strength * 1.5 * np.cos(OMEGA * (t - late) - np.radians(60.0)) + more
    set_to = np.degrees(np.arctan2(np.full(len(t), across), along)) + 40.0
    speed = np.hypot(along, across)
    stamps = [str(np.datetime64(int(x), "s")) for x in t]
    path = folder / "seen.csv"
    lines = [f"{a},{b:.4f},{c % 360.0:.3f}" for a, b, c in zip(stamps, speed, set_to, strict=True)]
    path.write_text("\n".join(["time_utc,speed (kn),direction (deg)", *lines]), encoding="utf-8")
    return path


def told(folder, *more, **how):
    return json.loads(done("prove", file_of(folder), *SEEN, seen(folder, **how), "--format", "json", *more))


def test_a_current_that_runs_as_predicted(tmp_path):
    found = told(tmp_path)
    assert found["right_direction"] == 1.0
    assert found["strength"] == pytest.approx(1.0, abs=1e-3)
    assert found["deviation_kn"] == pytest.approx(0.0, abs=1e-3)
    assert found["slack_late_min"] == pytest.approx(0.0, abs=0.1)
    assert found["slacks_found"] == pytest.approx(10 * 4, abs=2)
    assert found["slacks_missing"] == 0


def test_late_strong_and_set_water_is_measured(tmp_path):
    found = told(tmp_path, late=1500.0, strength=1.2)
    assert found["slack_late_min"] == pytest.approx(25.0, abs=0.5)
    assert found["strength"] == pytest.approx(1.2 * np.cos(OMEGA * 1500.0), abs=0.01)
    assert 0.85 < told(tmp_path, late=2700.0)["right_direction"] < 1.0
    assert told(tmp_path, more=0.4)["mean_kn"] == pytest.approx(0.4, abs=1e-3)
    assert told(tmp_path, late=21600.0)["right_direction"] == pytest.approx(0.0, abs=0.01)


def test_slacks_that_never_come_are_missing(tmp_path):
    found = told(tmp_path, strength=0.2, more=1.0)
    assert (found["slacks_found"], found["slacks_missing"] > 30) == (0, True)


def test_the_sentence_comes_first_and_rows_hold_the_readings(tmp_path):
    path, readings = file_of(tmp_path), seen(tmp_path)
    text = " ".join(done("prove", path, *SEEN, readings).split())
    assert text.startswith("Of 480 readings from Thu 1 Jan 2026 to Sat 10 Jan 2026 at race, 100 of 100 ran")
    assert "Not for navigation" in text
    found = rows("prove", path, *SEEN, readings)
    assert len(found) == 480
    assert all(float(r["observed_kn"]) == pytest.approx(float(r["predicted_kn"]), abs=2e-3) for r in found)
    assert found[0]["time_utc"] == "2026-01-01T00:00:00Z"


def test_what_can_t_be_judged_is_refused(tmp_path):
    path, readings = file_of(tmp_path), seen(tmp_path)
    assert "go together" in refused(2, "prove", path, "--current", "race")
    for option in (["--refit"], ["--station", "pier"], ["--spot", "ledge"], ["--from", "2026-01-05"]):
        assert "are for levels" in refused(2, "prove", path, *SEEN, readings, *option)
    assert "table, csv or json" in refused(2, "prove", path, *SEEN, readings, "--format", "svg")
    assert "no current 'rip'" in refused(1, "prove", path, "--current", "rip", "--speeds", readings)
    assert "found currents of 48 hours" in refused(1, "prove", path, *SEEN, seen(tmp_path, days=2))
    assert "nowhere.csv" in refused(1, "prove", path, *SEEN, tmp_path / "nowhere.csv")
