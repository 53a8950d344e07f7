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
from tests.bench.conftest import ROUNDS, Cost
from tests.bench.growth import record_growth
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
    """A file with a record, the same without one and with weather too, and its folder's cache."""

    record: Path
    plain: Path
    weather: Path
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
    weather = plain.with_name("with_weather.toml")
    past = 'record = { file = "gauge.csv" }\nrecord_weather = "past.csv"'
    text = marked.replace('record = { file = "gauge.csv" }', past)
    weather.write_text(f'{text}\n[weather]\nfile = "weather.csv"\n', encoding="utf-8")
    written_weather(folder / "past.csv", np.arange(t[0], NOW, 3 * HOUR))
    ahead = np.datetime64(FIRST, "s").astype(float) + np.arange(-72, 24 * (DAYS + 2), 3) * HOUR
    written_weather(folder / "weather.csv", ahead)
    return Coast(record, plain, weather, folder / "cache")


def written_weather(path: Path, t: np.ndarray) -> None:
    """Wind that turns and a pressure that comes and goes, every few hours."""
    titles = "time_utc,wind_speed [m s-1],wind_from_direction [degree],air_pressure_at_mean_sea_level [hPa]"
    phase = 2 * np.pi * t / (5.3 * 86400)
    wind, pressure = 6 + 4 * np.sin(phase), 1013 + 9 * np.cos(1.7 * phase)
    rows = zip(t, wind, np.mod(np.degrees(phase), 360), pressure, strict=True)
    lines = [f"{np.datetime64(int(x), 's')}Z,{a:.1f},{b:.0f},{c:.1f}" for x, a, b, c in rows]
    path.write_text("\n".join([titles, *lines]), encoding="utf-8")


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
    with_weather = (*COMMAND, "week", str(coast.weather), *asked)
    without = (*COMMAND, "week", str(coast.plain), *asked)
    times: dict[str, list[float]] = {"first": [], "known": [], "weather too": [], "without": []}
    seconds_of(without, bytecode)
    for _ in range(2 * ROUNDS if ratio_table.enabled else 1):
        shutil.rmtree(coast.cache, ignore_errors=True)
        times["first"].append(seconds_of(with_record, bytecode))
        kept = {path: path.stat().st_mtime_ns for path in coast.cache.rglob("*") if path.is_file()}
        assert kept
        times["known"].append(seconds_of(with_record, bytecode))
        assert kept == {path: path.stat().st_mtime_ns for path in kept}
        if ratio_table.enabled:
            seconds_of(with_weather, bytecode)
            times["weather too"].append(seconds_of(with_weather, bytecode))
        times["without"].append(seconds_of(without, bytecode))
    best = {name: Cost(min(values)) for name, values in times.items() if values}
    said = {"first": "not in the cache", "known": "in the cache", "weather too": "in the cache, and weather"}
    for name, words in said.items():
        if name in best:
            what = f"ebblight week, cold, record of two years, {words}"
            ratio_table.record(what, best[name], "without both", best["without"])


def test_growth_with_years_and_spots(made, ratio_table):
    """Chance: what a longer record costs, and what more spots on one gauge cost."""

    def week(years, spots):
        shore = made(years).shore()
        some = [shore.spots[i % SPOTS] for i in range(spots)]
        known = outlook_of(shore, [spot.station for spot in some], NOW)
        return make_forecast(shore, some, FIRST, DAYS, known)

    assert week(COLD_YEARS, 2).ranking[0].session.seen is not None
    record_growth(ratio_table, "a week by a record of years", lambda n: week(n, 1), (1, 10))
    record_growth(
        ratio_table, "a week by a record by spots", lambda n: week(COLD_YEARS, n), (1, 10, 100), rounds=2
    )


@pytest.mark.benchmark(group="a year of a record proved at one spot")
def test_a_year_proved(benchmark, made, ratio_table):
    """Beside the bare forecast of the same days, which each session's proof begins with."""
    shore = made(COLD_YEARS).shore()
    station, spots = shore.stations[0], shore.spots[:1]
    t, level, weather = read_readings(shore.records[station.id])
    observed = Observed(t, level, weather, "gauge.csv")
    first = date(2025, 1, 1) if ratio_table.enabled else date(2025, 11, 1)
    days = (date(2026, 1, 1) - first).days

    def proved():
        return make_proof(shore, station, spots, observed, NOW, first)

    proof = benchmark.pedantic(proved, rounds=1, warmup_rounds=0)
    assert len(proof.sessions) > 0.8 * days
    assert proof.end - proof.start > (days - 5) * 86400.0
    past = Outlook(year_start(2025))
    floor = {"the forecast of its days": lambda: make_forecast(shore, spots, first, days, past)}
    ratio_table.compare("a year proved at one spot", proved, floor)
