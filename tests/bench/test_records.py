"""Speed of what a gauge's record adds: a week warm and cold, and a year proved. Never gated.

Run with --benchmark-enable; a plain run does each once for its result.
"""

import shutil
from datetime import date
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

from harmonics.records.store import read_readings
from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from tests.bench.cold import COMMAND, seconds_of
from tests.bench.conftest import ROUNDS
from tests.harmonics.records_of import HOUR, red_noise
from tests.windows.conftest import AgencyStation
from windows.conditions.knowledge import outlook_of
from windows.conditions.outlook import Outlook
from windows.conditions.record_cases import RecordCases
from windows.forecast.making import make_forecast
from windows.forecast.proving import Observed, make_proof
from windows.shoreline.shore import Shore, read_shore

FIRST, DAYS, SPOTS = date(2026, 8, 1), 7, 4
WARM_YEARS = 5
"""Enough for two hundred stretches of a season."""
COLD_YEARS = 2
NOW = year_start(2026)


class Coast(NamedTuple):
    """A file with a record, the same without one, and its folder's cache."""

    record: Path
    plain: Path
    cache: Path

    def shore(self) -> Shore:
        """As the file with a record has it."""
        return read_shore(self.record)


def coast_of(folder: Path, years: int) -> Coast:
    """Four spots beside a gauge with so many years of made hourly readings up to 2026."""
    keys = [(f"spot{i}", f"slack_lag = {15 * i}") for i in range(SPOTS)]
    plain = AgencyStation.of("9447130").shore(folder, *keys).path
    station = read_shore(plain).stations[0]
    t = NOW - HOUR * np.arange(years * 8766, 0, -1)
    level = levels(station, t) + red_noise(len(t), 20.0, 0.2, 3)
    lines = [f"{np.datetime64(int(x), 's')}Z,{y:.3f}" for x, y in zip(t, level, strict=True)]
    (folder / "gauge.csv").write_text("\n".join(["time_utc,level_m", *lines]), encoding="utf-8")
    text = plain.read_text(encoding="utf-8")
    marked = text.replace("[[stations]]", '[[stations]]\nrecord = { file = "gauge.csv" }', 1)
    record = plain.with_name("with_record.toml")
    record.write_text(marked, encoding="utf-8")
    return Coast(record, plain, folder / "cache")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Coasts by years, each with a cache of its own."""
    with pytest.MonkeyPatch.context() as patch:
        found: dict[int, Coast] = {}

        def coast(years: int) -> Coast:
            if years not in found:
                found[years] = coast_of(tmp_path_factory.mktemp(f"records{years}"), years)
            patch.setenv("XDG_CACHE_HOME", str(found[years].cache))
            return found[years]

        yield coast


@pytest.mark.benchmark(group="a week at four spots by a gauge's record")
@pytest.mark.parametrize("record", [False, True], ids=["tide alone", "200 cases"])
def test_a_week_at_four_spots(benchmark, made, record):
    shore = made(WARM_YEARS).shore()
    stations = [spot.station for spot in shore.spots]
    known = outlook_of(shore, stations, NOW) if record else Outlook(NOW)
    done = benchmark.pedantic(
        make_forecast, (shore, shore.spots, FIRST, DAYS, known), rounds=5, warmup_rounds=1
    )
    cases = done.spots[0].conditions.cases
    assert isinstance(cases, RecordCases) is record
    if record:
        assert min(map(len, cases.blocks)) == 200


def test_a_cold_week(made, bytecode, ratio_table):
    """A process of its own: two years of hourly levels read for the first time, known, and without."""
    coast = made(COLD_YEARS)
    asked = ("--spot", "spot0", "--start", FIRST.isoformat(), "--days", str(DAYS))
    with_record = (*COMMAND, "week", str(coast.record), *asked)
    without = (*COMMAND, "week", str(coast.plain), *asked)
    times: dict[str, list[float]] = {"first": [], "known": [], "without": []}
    seconds_of(without, bytecode)
    for _ in range(2 * ROUNDS if ratio_table.enabled else 1):
        shutil.rmtree(coast.cache, ignore_errors=True)
        times["first"].append(seconds_of(with_record, bytecode))
        kept = {path: path.stat().st_mtime_ns for path in coast.cache.rglob("*") if path.is_file()}
        assert kept
        times["known"].append(seconds_of(with_record, bytecode))
        assert kept == {path: path.stat().st_mtime_ns for path in kept}
        times["without"].append(seconds_of(without, bytecode))
    best = {name: min(values) for name, values in times.items()}
    for name in ("first", "known"):
        what = f"ebblight week, cold, record of two years, {'not ' if name == 'first' else ''}in the cache"
        ratio_table.record(what, best[name], "without a record", best["without"])


@pytest.mark.benchmark(group="a year of a record proved at one spot")
def test_a_year_proved(benchmark, made):
    shore = made(COLD_YEARS).shore()
    station, spots = shore.stations[0], shore.spots[:1]
    t, level, weather = read_readings(shore.records[station.id])
    observed = Observed(t, level, weather, "gauge.csv")
    proof = benchmark.pedantic(
        make_proof, (shore, station, spots, observed, NOW, date(2025, 1, 1)), rounds=2, warmup_rounds=0
    )
    assert len(proof.sessions) > 300
    assert proof.end - proof.start > 360 * 86400.0
