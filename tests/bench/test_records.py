"""Speed of a week by a gauge's record. Run with --benchmark-enable; never gated."""

from datetime import date

import numpy as np
import pytest

from harmonics.stations.prediction import levels
from harmonics.sums.waves import year_start
from tests.harmonics.records_of import HOUR, red_noise
from tests.windows.conftest import AgencyStation
from windows.conditions.knowledge import outlook_of
from windows.conditions.outlook import Outlook
from windows.conditions.record_cases import RecordCases
from windows.forecast.making import make_forecast
from windows.shoreline.shore import Shore, read_shore

FIRST, DAYS, SPOTS = date(2026, 8, 1), 7, 4
YEARS = 5
"""Enough for two hundred stretches of a season."""


@pytest.fixture(scope="module")
def coast(tmp_path_factory, request) -> tuple[Shore, Outlook]:
    """Four spots beside a gauge with five years of made readings."""
    patch = pytest.MonkeyPatch()
    request.addfinalizer(patch.undo)
    folder = tmp_path_factory.mktemp("records")
    patch.setenv("XDG_CACHE_HOME", str(folder / "cache"))
    keys = [(f"spot{i}", f"slack_lag = {15 * i}") for i in range(SPOTS)]
    path = AgencyStation.of("9447130").shore(folder, *keys).path
    station = read_shore(path).stations[0]
    t = year_start(2021) + HOUR * np.arange(YEARS * 8766)
    level = levels(station, t) + red_noise(len(t), 20.0, 0.2, 3)
    lines = [f"{np.datetime64(int(x), 's')}Z,{y:.3f}" for x, y in zip(t, level, strict=True)]
    (folder / "gauge.csv").write_text("\n".join(["time_utc,level_m", *lines]), encoding="utf-8")
    text = path.read_text(encoding="utf-8")
    marked = text.replace("[[stations]]", '[[stations]]\nrecord = { file = "gauge.csv" }', 1)
    path.write_text(marked, encoding="utf-8")
    shore = read_shore(path)
    return shore, outlook_of(shore, [spot.station for spot in shore.spots], year_start(2026))


@pytest.mark.benchmark(group="a week at four spots by a gauge's record")
@pytest.mark.parametrize("record", [False, True], ids=["tide alone", "200 cases"])
def test_a_week_at_four_spots(benchmark, coast, record):
    shore, outlook = coast
    known = outlook if record else Outlook(outlook.now)
    made = benchmark.pedantic(
        make_forecast, (shore, shore.spots, FIRST, DAYS, known), rounds=5, warmup_rounds=1
    )
    cases = made.spots[0].conditions.cases
    assert isinstance(cases, RecordCases) is record
    if record:
        assert min(map(len, cases.blocks)) == 200
