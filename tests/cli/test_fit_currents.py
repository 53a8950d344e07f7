"""`fit` of observed currents: a [[currents]] table that predicts what was observed.

Constants along the flood axis: NOAA CO-OPS, Fort Pierce Inlet Entrance and West Point (source lines in
tests/published). Records are made from them, for none of observed currents is at hand.
"""

import csv
import io
import tomllib

import numpy as np
import pytest

from harmonics.files.station_file import read_station_file
from harmonics.fitting.currents import fit_current
from harmonics.records.current_reader import holds_currents, read_currents
from harmonics.stations.components import set_and_drift
from harmonics.stations.currents import currents_at
from harmonics.stations.types import TwoComponentStation
from harmonics.sums.waves import year_start
from harmonics.units import HOUR, METRES_PER_SECOND_PER_KNOT
from tests.cli.runs import refused, run
from tests.coasts import head, published_current, written

KNOT = METRES_PER_SECOND_PER_KNOT
PLACE = ("--latitude", "27.47", "--longitude", "-80.29", "--name", "Inlet", "--id", "inlet")
NOISE = 0.02


def observed(folder, station="FPI0901", *, days=60.0, turning=0.0, noise=NOISE):
    """Times, east and north in m/s, of a published current with a part across it and some noise."""
    path = written(folder, head("UTC"), published_current(station, "theirs"), name="theirs.toml")
    (source,) = read_station_file(path).currents
    t = year_start(2024) + 0.5 * HOUR * np.arange(int(days * 48))
    along = currents_at(source, t)
    later = currents_at(source, t + 3.0 * HOUR)
    angle = np.radians(source.flood_direction)
    random = np.random.default_rng(4)
    east = along * np.sin(angle) + turning * later * np.cos(angle) + random.normal(size=len(t)) * noise
    north = along * np.cos(angle) - turning * later * np.sin(angle) + random.normal(size=len(t)) * noise
    return source, t, east, north


def stamps(t):
    return [str(np.datetime64(int(second), "s")).replace("T", " ") for second in t]


def polar_file(path, t, east, north):
    speed, direction = np.hypot(east, north) / KNOT, np.degrees(np.arctan2(east, north)) % 360.0
    rows = zip(stamps(t), speed, direction, strict=True)
    lines = [f"{when},{v:.3f},{d:.1f}" for when, v, d in rows]
    path.write_text("\n".join(["time (UTC),speed [kn],direction [deg]", *lines]), encoding="utf-8")
    return path


def component_file(path, t, east, north):
    rows = zip(stamps(t), east * 100, north * 100, strict=True)
    lines = [f"{when};{u:.2f};{v:.2f}" for when, u, v in rows]
    path.write_text("\n".join(["time_utc;u (cm/s);v (cm/s)", *lines]), encoding="utf-8")
    return path


@pytest.mark.parametrize("make", [polar_file, component_file])
def test_a_current_that_runs_to_and_fro_gets_one_axis_and_predicts_itself(tmp_path, make):
    source, t, east, north = observed(tmp_path)
    record = make(tmp_path / "seen.csv", t, east, north)
    result = run("fit", record, "-o", tmp_path / "fitted.csv", *PLACE, "--flood-direction", "250")
    assert result.code == 0, result.err
    table = tomllib.loads(result.out[result.out.index("[[currents]]") :])["currents"][0]
    assert table["flood_direction"] == pytest.approx(source.flood_direction, abs=0.2)
    assert table["ebb_direction"] == pytest.approx(source.ebb_direction, abs=0.2)
    assert table["mean_flow"] == pytest.approx(source.mean_flow / KNOT, abs=0.02)
    assert not (tmp_path / "fitted_across.csv").exists()
    path = written(tmp_path, head("UTC"), result.out[result.out.index("[[currents]]") :])
    (ours,) = read_station_file(path).currents
    after = t[-1] + HOUR * np.arange(24.0 * 20)
    apart = currents_at(ours, after) - currents_at(source, after)
    assert np.sqrt(np.mean(apart**2)) < 0.06 * np.sqrt(np.mean(currents_at(source, after) ** 2))


def test_a_current_that_turns_gets_two_axes(tmp_path):
    _, t, east, north = observed(tmp_path, "PUG1515", days=90.0, turning=0.4)
    record = component_file(tmp_path / "seen.csv", t, east, north)
    asked = ("--flood-direction", "211.1")
    result = run("fit", record, "-o", tmp_path / "fitted.csv", *PLACE, *asked)
    assert result.code == 0, result.err
    text = result.out[result.out.index("[[currents]]") :]
    table = tomllib.loads(text)["currents"][0]
    assert table["constituents_across"] == "fitted_across.csv"
    assert table["flood_direction"] == 211.1
    (ours,) = read_station_file(written(tmp_path, head("UTC"), text)).currents
    assert isinstance(ours, TwoComponentStation)
    direction, speed = set_and_drift(ours, t)
    vector = speed * np.exp(1j * np.radians(direction))
    assert np.sqrt(np.mean(np.abs(vector - (north + 1j * east)) ** 2)) < 3 * NOISE


def test_without_the_flood_the_table_waits_and_the_report_stands(tmp_path):
    _, t, east, north = observed(tmp_path)
    record = polar_file(tmp_path / "seen.csv", t, east, north)
    result = run("fit", record, "-o", tmp_path / "fitted.csv", *PLACE)
    assert result.code == 0
    assert "Give --flood-direction to have the [[currents]] table printed as well." in result.err
    assert "[[currents]]" not in result.out
    assert "Along the axis, " in result.out and "To trust: M2" in result.out


def test_both_axes_stand_in_the_machine_formats(tmp_path):
    _, t, east, north = observed(tmp_path)
    record = polar_file(tmp_path / "seen.csv", t, east, north)
    table = list(csv.DictReader(io.StringIO(run("fit", record, "--format", "csv").out)))
    assert {row["axis"] for row in table} == {"along", "across"}
    greatest = max(table, key=lambda row: float(row["amplitude_m_s"]))
    assert (greatest["name"], greatest["axis"], greatest["trusted"]) == ("M2", "along", "True")
    assert float(greatest["amplitude_m_s"]) == pytest.approx(2.927 * KNOT, rel=0.05)


@pytest.mark.parametrize("flood", [30.0, 210.0, 95.0, None])
def test_the_axis_points_to_the_floods_side(flood):
    t = year_start(2024) + HOUR * np.arange(24.0 * 40)
    wave = np.cos(2 * np.pi * (t - t[0]) / 44714.16)
    found = fit_current(
        t, wave * np.sin(np.radians(40.0)), wave * np.cos(np.radians(40.0)), flood_direction=flood
    )
    assert found.axis_direction == pytest.approx(220.0 if flood == 210.0 else 40.0)
    assert found.across is None
    assert found.share == pytest.approx(1.0)


def test_a_record_of_levels_or_wind_is_none_of_currents(tmp_path):
    for header in ("time_utc,level_m", "time_utc,wind_speed [m/s],wind_from_direction [degree]"):
        path = tmp_path / "r.csv"
        path.write_text(f"{header}\n2020-01-01 00:00,1,2\n", encoding="utf-8")
        assert not holds_currents(path)


WRONG = {
    "no unit": ("time_utc,speed,direction\n2020-01-01 00:00,1,2\n", "column 'speed': found no unit"),
    "two units": ("time_utc,u m/s,v cm/s\n2020-01-01 00:00,1,2\n", "column 'v cm/s': found another unit"),
    "too fast": ("time_utc,speed kn,dir\n2020-01-01 00:00,400,2\n", "line 2 speed kn: found '400'"),
    "no number": ("time_utc,speed kn,dir\n2020-01-01 00:00,1,N\n", "line 2 dir: found 'N'"),
    "no direction": ("time_utc,u m/s,v m/s\n2020-01-01 00:00,,\n", "no reading in 1 rows"),
    "no zone": ("time,speed kn,dir\n2020-01-01 00:00,1,2\n", "a clock without a zone"),
    "a time twice": (
        "time_utc,speed kn,dir\n2020-01-01 00:00,1,2\n2020-01-01 00:00,2,2\n",
        "the time of another line again with another current",
    ),
    "too short": ("time_utc,speed kn,dir\n2020-01-01 00:00,1,2\n2020-01-01 01:00,2,9\n", "too short"),
    "still": (
        "time_utc,speed kn,dir\n2020-01-01 00:00,0,2\n2020-01-01 01:00,0,9\n",
        "no current that changes",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_wrong_records_are_told(tmp_path, name):
    text, told = WRONG[name]
    path = tmp_path / "seen.csv"
    path.write_text(text, encoding="utf-8")
    assert told in refused(1, "fit", path)


def test_options_for_levels_are_refused(tmp_path):
    _, t, east, north = observed(tmp_path, days=10)
    record = polar_file(tmp_path / "seen.csv", t, east, north)
    assert "are for levels" in refused(2, "fit", record, "--trend")


def test_rows_out_of_order_and_gaps_are_put_right(tmp_path):
    path = tmp_path / "seen.csv"
    path.write_text(
        "time_utc,speed kn,dir\n2020-01-01 01:00,2,90\n2020-01-01 00:00,1,0\n2020-01-01 02:00,-999,\n"
        "2020-01-01 02:00,,\n",
        encoding="utf-8",
    )
    record = read_currents(path)
    assert np.all(np.diff(record.t) > 0)
    assert record.north[0] == pytest.approx(KNOT) and record.east[1] == pytest.approx(2 * KNOT)
    assert np.isnan(record.east[2])
    assert any("out of order" in note for note in record.notes)
