"""`fit`: published analyses through the command, station files made of records, and records it must refuse.

Records: Honolulu 2010 and Tuktoyaktuk 1975 with their reference analyses, sources in tests/published.
"""

import csv
import io
import json
import tomllib
from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.catalogue.constituents import find
from harmonics.files.station_file import read_station_file
from harmonics.fitting.analysis import fit
from harmonics.stations.prediction import levels
from harmonics.stations.types import Station
from harmonics.sums.waves import NodePractice
from tests.cli.runs import DEMOS, Run, refused, rows, run, utc
from tests.coasts import head, published_station, written
from tests.conftest import PUBLISHED, published_rows
from tests.harmonics.analysis_peers import our_wave, phase_between, reference_waves

FOOT = 0.3048
HOUR = 3600.0
HONOLULU = PUBLISHED / "hnl2010_hourly.csv"
TUKTOYAKTUK = PUBLISHED / "tuktoyaktuk1975_hourly.csv"
PLACE = ("--latitude", "21.3", "--longitude", "-157.9")
STATIONS = {
    "skerrow_strand": "skerrow-pier",
    "pellaway_sound": "gannet-bar",
    "korimako_reach": "reach-beacon",
}
"""The stations with constituents of the demo coasts."""


@pytest.fixture(scope="module")
def honolulu():
    table = published_rows(HONOLULU.name)
    t = np.array([utc(row["time_utc"]) for row in table])
    return t, np.array([float(row["level_m"]) for row in table])


def ran(*arguments: object) -> Run:
    """A run of `fit` that has to succeed."""
    result = run("fit", *arguments)
    assert result.code == 0, result.err
    return result


def document(*arguments: object) -> dict[str, Any]:
    """The JSON document of a fit."""
    found = json.loads(ran(*arguments, "--format", "json").out)
    assert isinstance(found, dict)
    return found


def lines(*arguments: object) -> dict[str, dict[str, Any]]:
    """The constituents of a fit by name."""
    return {row["name"]: row for row in document(*arguments)["rows"]}


def wave(row: dict[str, Any], t, practice=NodePractice.YEARLY):
    """A row's wave at mid-record; metres."""
    line = SimpleNamespace(
        constituent=find(row["name"]),
        amplitude=row["amplitude_m"],
        phase_lag=row["phase_deg"],
    )
    return our_wave(line, practice, t)


def record(path, t, level, heading="time_utc,level_m", zone=UTC):
    """A file of readings by the clock of a zone, to the tenth of a millimetre; nan is an empty field."""
    with path.open("w", encoding="utf-8") as stream:
        stream.write(f"{heading}\n")
        for at, height in zip(t, level, strict=True):
            clock = datetime.fromtimestamp(float(at), UTC).astimezone(zone)
            stream.write(f"{clock:%Y-%m-%d %H:%M},{'' if np.isnan(height) else f'{height:.4f}'}\n")
    return path


class TestPublishedAnalyses:
    # In yearly practice P1 takes up the change of K1's node factor within the year (0.4 mm, 0.6 deg).
    @pytest.mark.parametrize(
        ("practice", "main"),
        [
            ("yearly", ("M2", "K1", "O1", "S2", "N2", "K2", "Q1", "J1")),
            ("continuous", ("M2", "K1", "O1", "S2", "N2", "K2", "Q1", "J1", "P1", "NU2", "SSA")),
        ],
    )
    def test_a_year_at_honolulu(self, honolulu, practice, main):
        table = published_rows("utide_matlab_hnl2010_reference.csv")
        reference = [row | {"amp": str(float(row["amp"]) / 1000)} for row in table]
        names = ",".join(row["name"] for row in reference)
        asked = (HONOLULU, "--constituents", names, "--trend", "--plain", "--node-factors", practice)
        told = document(*asked)
        found = {row["name"]: row for row in told["rows"]}
        expected = reference_waves(reference, honolulu[0], 21.0)
        for name in main:
            ours = wave(found[name], honolulu[0], NodePractice(practice))
            assert ours.amplitude == pytest.approx(expected[name].amplitude, abs=0.0005), name
            assert abs(phase_between(ours.phase, expected[name].phase)) < 0.5, name
        # The reference's first line: mean 1417.342950 mm, slope 0.6103 mm a day.
        assert told["mean_m"] == pytest.approx(1.41734, abs=0.0002)
        assert told["trend_m_per_year"] == pytest.approx(0.0006103 * 365.25, rel=0.005)

    def test_a_record_in_feet_with_gaps(self):
        # Analysed as its references did, the clock taken for Greenwich's; T_TIDE fits P1 and K2 apart.
        table = published_rows("ttide2002_table1_tuktoyaktuk.csv")
        renamed = {"MS": "M8", "UPSI": "UPS1"}
        reference = [
            {
                "name": renamed.get(row["name"], row["name"]),
                "amp": row["amp_ft"],
                "phase_deg": row["phase_deg"],
            }
            for row in table
            if row["name"] != "Z0"
        ]
        names = ",".join(row["name"] for row in reference if row["name"] not in ("P1", "K2"))
        found = lines(TUKTOYAKTUK, "--zone", "UTC", "--constituents", names, "--plain", "--no-infer")
        t = np.array([utc(row["time_clock"]) for row in published_rows(TUKTOYAKTUK.name)])
        expected = reference_waves(reference, t, 69.45)
        for name in ("M2", "N2", "O1"):
            ours = wave(found[name], t)
            assert ours.amplitude / FOOT == pytest.approx(expected[name].amplitude, abs=0.002), name
            assert abs(phase_between(ours.phase, expected[name].phase)) < 0.5, name

    def test_the_machine_formats_are_the_analysis(self, honolulu):
        analysis = fit(*honolulu)
        table = list(csv.DictReader(io.StringIO(ran(HONOLULU, "--format", "csv").out)))
        told = document(HONOLULU)
        assert [row["name"] for row in table] == [line.name for line in analysis.lines]
        for line, row, item in zip(analysis.lines, table, told["rows"], strict=True):
            assert list(item) == list(row)
            for key, value in (
                ("amplitude_m", line.amplitude),
                ("amplitude_error_m", line.amplitude_error),
                ("phase_deg", line.phase_lag),
                ("phase_error_deg", line.phase_error),
                ("snr", line.snr),
            ):
                assert float(row[key]) == item[key] == pytest.approx(value, rel=1e-9)
            assert item["inferred"] is (line.inference is not None)
            assert row["inferred"] == str(item["inferred"])
            assert item["trusted"] is line.trusted
        assert told["mean_m"] == pytest.approx(analysis.mean)
        assert told["residual_m"] == pytest.approx(analysis.deviation)
        assert told["explained"] == pytest.approx(analysis.explained)
        assert told["trend_m_per_year"] is None
        assert told["clock"] == "UTC, from the header 'time_utc'"
        assert any("Not for navigation" in text for text in told["cautions"])

    def test_the_report_says_what_to_trust_and_what_looks_wrong(self):
        text = " ".join(ran(HONOLULU).out.split())
        assert "8760 readings from 2010-01-01 00:00 to 2010-12-31 23:00 UTC" in text
        assert "% of the variance" in text
        trusted = text.split("To trust: ")[1].split(". ")[0].split(", ")
        weak = text.split("Not clear of the noise: ")[1].split(". ")[0].split(", ")
        assert "Not told from weather: SA (1.0 cycles in the record; weather alone makes as much" in text
        rows_of = lines(HONOLULU)
        assert set(trusted) | set(weak) | {"SA"} == set(rows_of)
        assert not set(trusted) & set(weak) and "SA" not in {*trusted, *weak}
        assert {"M2", "K1", "O1", "S2", "N2", "P1"} <= set(trusted)
        assert min(rows_of[name]["snr"] for name in trusted) >= max(rows_of[name]["snr"] for name in weak)
        # The tsunami of the Chilean earthquake of 27 February 2010 reached Honolulu that evening (UTC).
        assert "2010-02-27 22:00 to 2010-02-28 16:00 UTC: spike" in text


class TestStationFiles:
    def made(self, folder, source, *arguments: object):
        """The station of the table and the [[stations]] text that a fit leaves."""
        result = ran(source, "-o", folder / "fitted.csv", *PLACE, *arguments)
        table = result.out[result.out.index("[[stations]]") :]
        path = written(folder, head("UTC"), table)
        (station,) = read_station_file(path).stations
        return path, tomllib.loads(table)["stations"][0], station

    @pytest.mark.parametrize(("option", "trusted"), [((), True), (("--all-lines",), False)])
    def test_what_is_written_predicts_like_the_analysis(self, honolulu, tmp_path, option, trusted):
        analysis = fit(*honolulu)
        path, table, station = self.made(tmp_path, HONOLULU, *option)
        constants = analysis.constants(trusted_only=trusted)
        assert [row.name for row in station.constants.constituents] == [
            row.name for row in constants.constituents
        ]
        assert (len(constants.constituents) == len(analysis.lines)) is not trusted
        assert table["mean_level"] == pytest.approx(analysis.mean, abs=5e-5)
        assert table["datum"] == "zero of the record"
        assert table["length_unit"] == "metres"
        expected = Station("x", "X", 0, 0, "x", analysis.mean, constants)
        t = honolulu[0][:24]
        ours = rows("levels", path, "--start", "2010-01-01")
        assert [utc(row["time_utc"]) for row in ours] == t.tolist()
        assert [float(row["height_m"]) for row in ours] == pytest.approx(levels(expected, t), abs=0.0005)

    def test_the_table_names_its_source(self, tmp_path):
        self.made(tmp_path, HONOLULU)
        first = (tmp_path / "fitted.csv").read_text(encoding="utf-8").splitlines()[0]
        assert first.startswith("# fitted to hnl2010_hourly.csv, 365 days; mean level 1.41")

    def test_the_practice_goes_with_the_constants(self, tmp_path):
        _, table, station = self.made(tmp_path, HONOLULU, "--node-factors", "continuous")
        assert table["node_factors"] == "continuous"
        assert station.practice is NodePractice.CONTINUOUS

    def test_a_record_in_feet_makes_a_table_in_feet(self, honolulu, tmp_path):
        t, level = honolulu
        source = record(tmp_path / "gauge.csv", t, level / FOOT, "time_utc,Water level (ft)")
        _, table, station = self.made(tmp_path, source)
        assert table["length_unit"] == "feet"
        assert table["mean_level"] * FOOT == pytest.approx(1.416, abs=0.001)
        _, _, plain = self.made(tmp_path, HONOLULU)
        assert levels(station, t[:100]) == pytest.approx(levels(plain, t[:100]), abs=0.0005)
        report = ran(source).out
        assert "Amplitude (ft)" in report and "levels in ft" in report

    def test_a_unit_that_the_header_lacks_is_given(self, honolulu, tmp_path):
        t, level = honolulu
        source = record(tmp_path / "gauge.csv", t[:720], level[:720] / FOOT, "time_utc,level")
        named = record(tmp_path / "named.csv", t[:720], level[:720] / FOOT, "time_utc,level_ft")
        assert lines(source, "--units", "feet") == lines(named)

    def test_head_of_the_table_as_given(self, tmp_path):
        given = ("--id", "aloha", "--name", "Aloha pier", "--datum", "LAT", "--mean-level", "0.75")
        _, table, _ = self.made(tmp_path, HONOLULU, *given)
        for key, value in (("id", "aloha"), ("name", "Aloha pier"), ("datum", "LAT"), ("mean_level", 0.75)):
            assert table[key] == value

    def test_without_a_place_the_options_are_named(self, tmp_path):
        result = ran(HONOLULU, "-o", tmp_path / "fitted.csv", "--latitude", "21.3")
        assert "[[stations]]" not in result.out
        assert "--longitude" in result.err and "--latitude" not in result.err

    @pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
    def test_levels_predicted_fitted_and_predicted_again(self, demo, tmp_path):
        source = tmp_path / "levels.csv"
        asked = ("--start", "2026-01-01", "--days", "365", "--step", "1h")
        station = STATIONS[demo.stem]
        assert run("levels", demo, "--station", station, *asked, "--format", "csv", "-o", source).code == 0
        path, _, _ = self.made(tmp_path, source, "--time-column", "time_utc")
        first = {
            row["time_utc"]: float(row["height_m"])
            for row in csv.DictReader(io.StringIO(source.read_text(encoding="utf-8")))
        }
        again = {row["time_utc"]: float(row["height_m"]) for row in rows("levels", path, *asked)}
        shared = sorted(first.keys() & again.keys())
        assert len(shared) > 8700  # the demo's local year less the hours that lie outside UTC's
        assert max(abs(first[t] - again[t]) for t in shared) < 0.001


class TestClocks:
    def test_a_local_clock_over_its_changes(self, honolulu, tmp_path):
        # From Honolulu's readings, by New York's clock: summer time begins 14 March, ends 7 November.
        t, level = honolulu
        zone = ZoneInfo("America/New_York")
        local = record(tmp_path / "local.csv", t, level, "time,level_m", zone)
        stamped = record(tmp_path / "stamped.csv", t, level)
        ours = lines(local, "--zone", "America/New_York")
        assert ours == lines(stamped)
        report = ran(local, "--zone", "America/New_York").out
        assert "Clock the zone America/New_York" in report
        assert "hours the clock shows twice" in report

    def test_a_clock_without_a_zone(self, honolulu, tmp_path):
        t, level = honolulu
        source = record(tmp_path / "r.csv", t[:720], level[:720], "time,level_m")
        message = refused(1, "fit", source)
        assert "column 'time': found a clock without a zone" in message
        assert message.rstrip().endswith("(--zone)")

    def test_a_zone_beside_a_header_that_says_another(self):
        assert "'time_utc': found utc" in refused(1, "fit", HONOLULU, "--zone", "Pacific/Honolulu")

    def test_a_zone_that_is_none(self):
        assert "--zone" in refused(2, "fit", HONOLULU, "--zone", "Pacific/Atlantis")


class TestInference:
    def test_ratios_of_a_reference_station(self, honolulu, tmp_path):
        t, level = honolulu
        source = record(tmp_path / "month.csv", t[:744], level[:744])
        shore = written(tmp_path, head("UTC"), published_station("1612340"), published_station("8443970"))
        table = {row["name"]: row for row in published_rows("constituents_1612340.csv")}
        asked = (source, "--reference", shore, "--reference-station", "1612340")
        found = lines(*asked)
        equal = lines(source)
        for name, of in (("P1", "K1"), ("K2", "S2")):
            ratio = float(table[name]["amplitude"]) / float(table[of]["amplitude"])
            lag = float(table[name]["phase"]) - float(table[of]["phase"])
            row, base = found[name], found[of]
            assert row["inferred"] is True
            assert row["amplitude_m"] / base["amplitude_m"] == pytest.approx(ratio, rel=1e-6)
            turned = row["phase_deg"] - base["phase_deg"]
            assert phase_between(turned, lag) == pytest.approx(0.0, abs=1e-6)
            assert equal[name]["amplitude_m"] != pytest.approx(row["amplitude_m"], rel=1e-3)
        report = " ".join(ran(*asked).out.split())
        assert "K2 from S2 (ratio" in report and "reference" in report

    def test_which_reference_station(self, tmp_path):
        shore = written(tmp_path, head("UTC"), published_station("1612340"), published_station("8443970"))
        message = refused(1, "fit", HONOLULU, "--reference", shore)
        assert "--reference-station" in message and "1612340, 8443970" in message
        asked = ("--reference", shore, "--reference-station", "nowhere")
        assert "1612340, 8443970" in refused(1, "fit", HONOLULU, *asked)
        assert "no such file" in refused(1, "fit", HONOLULU, "--reference", tmp_path / "none.toml")

    def test_no_inference(self, honolulu, tmp_path):
        t, level = honolulu
        source = record(tmp_path / "month.csv", t[:744], level[:744])
        found = lines(source, "--no-infer")
        assert {row["inferred"] for row in found.values()} == {False}
        assert "K2" not in found


class TestSuspiciousData:
    def test_a_spike_a_stuck_gauge_and_a_shifted_clock_are_named(self, tmp_path):
        (station,) = read_station_file(written(tmp_path, head("UTC"), published_station("8443970"))).stations
        t = utc("2021-01-01 00:00") + HOUR * np.arange(180 * 24)
        level = levels(station, t) + np.random.default_rng(4).normal(0.0, 0.02, len(t))
        level[1000] += 2.0
        level[2000:2010] = level[2000]
        level[120 * 24 :] = levels(station, t[120 * 24 :] - HOUR)
        text = " ".join(ran(record(tmp_path / "gauge.csv", t, level)).out.split())
        assert "2021-02-11 16:00 UTC: spike, +2.0" in text
        assert "2021-03-25 08:00 to 2021-03-25 17:00 UTC: stuck gauge" in text
        assert "shifted clock, about 60 minutes ahead" in text


def test_constituents_that_the_record_can_t_part(tmp_path, honolulu):
    t, level = honolulu
    source = record(tmp_path / "month.csv", t[:744], level[:744])
    found = lines(source, "--constituents", "M2, K1, O1", "--no-infer")
    assert list(found) == ["O1", "K1", "M2"]
    # 182.6 days part P1 from K1: a month's intervals are as wide as the lines.
    parted = lines(source, "--constituents", "K1,P1,M2", "--no-infer")
    for name in ("K1", "P1"):
        assert parted[name]["amplitude_error_m"] > 0.15
        assert parted[name]["snr"] < 2.0 < parted["M2"]["snr"]
