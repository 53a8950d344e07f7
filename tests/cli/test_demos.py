"""The invented coasts run through every command. What they print is never an expected value."""

import itertools
import re
from datetime import UTC, datetime

import pytest

from tests.cli.runs import DEMOS, done, posix, rows, utc
from windows.shoreline.shore import read_shore

WEEKS = ("2026-03-25", "2026-06-20", "2026-12-28")
"""Over a change of clocks in Europe, at midsummer, over the New Year."""
LONG_AGO = datetime(2026, 1, 1, tzinfo=UTC).timestamp()

SHORES = {demo.stem: read_shore(demo) for demo in DEMOS}
SPOTS = [(demo, spot.id) for demo in DEMOS for spot in SHORES[demo.stem].spots]
STATIONS = [(demo, station.id) for demo in DEMOS for station in SHORES[demo.stem].stations]
CURRENTS = [(demo, current.id) for demo in DEMOS for current in SHORES[demo.stem].currents]


def name_of(value):
    return value if isinstance(value, str) else value.stem


def test_there_are_three_coasts_with_reasons_to_choose():
    assert len(DEMOS) >= 3
    for demo in DEMOS:
        shore = SHORES[demo.stem]
        assert shore.head.invented
        assert len(shore.spots) >= 3
        ways = {(spot.slack_lag, spot.station.id, spot.limits, spot.flow) for spot in shore.spots}
        assert len(ways) == len(shore.spots)
    spots = [spot for shore in SHORES.values() for spot in shore.spots]
    assert any(spot.latitude < 0 for spot in spots)
    assert {SHORES[demo.stem].head.units.value for demo in DEMOS} == {"feet", "metres"}


@pytest.mark.parametrize("demo", DEMOS, ids=name_of)
def test_check_finds_no_problem(demo):
    text = done("check", demo)
    assert "no problems found" in text
    for item in (*SHORES[demo.stem].spots, *SHORES[demo.stem].stations):
        assert f"{item.id}: {item.name}" in text


@pytest.mark.parametrize("demo", DEMOS, ids=name_of)
def test_every_table_beside_a_coast_says_that_it_is_invented(demo):
    tables = re.findall(r'"(\w+\.csv)"', demo.read_text(encoding="utf-8"))
    assert tables
    for table in tables:
        assert (demo.parent / table).read_text(encoding="utf-8").startswith("# Invented")


@pytest.mark.parametrize(
    ("demo", "spot", "start"),
    [(*at, start) for at, start in zip(SPOTS, itertools.cycle(WEEKS), strict=False)],
    ids=name_of,
)
def test_a_week_at_every_spot(demo, spot, start):
    found = rows("week", demo, "--spot", spot, "--start", start, now=LONG_AGO)
    for row in found:
        assert row["spot"] == spot
        parts = [float(row[f"points_{factor}"]) for factor in ("flow", "light", "moon")]
        assert sum(parts) == pytest.approx(float(row["points"]), abs=1e-9)
        assert utc(row["window_start_utc"]) < utc(row["window_end_utc"])
        moving = row["speed_peak_kn"] or row["fall_peak_m_per_h"]
        assert float(moving) > 0.0  # windows only while water goes out


@pytest.mark.parametrize(("demo", "start"), list(zip(DEMOS, WEEKS, strict=True)), ids=name_of)
def test_all_spots_together_rank_as_each_alone(demo, start):
    alone = [
        row
        for spot in SHORES[demo.stem].spots
        for row in rows("week", demo, "--spot", spot.id, "--start", start, "--hours", "any", now=LONG_AGO)
    ]
    for command in ("best", "compare"):
        ranked_as_alone(command, demo, start, alone)


def ranked_as_alone(command, demo, start, alone):
    together = rows(command, demo, "--start", start, "--days", "7", "--hours", "any", now=LONG_AGO)

    def told(found):
        return sorted(tuple(value for key, value in row.items() if key != "rank") for row in found)

    assert told(together) == told(alone)
    groups = [row["rank_group"] for row in together]
    assert groups == sorted(groups, key=["speed", "fall"].index)
    for group in set(groups):
        ranks = [int(row["rank"]) for row in together if row["rank_group"] == group]
        best = {}
        for row in (row for row in together if row["rank_group"] == group):
            best[int(row["rank"])] = max(best.get(int(row["rank"]), 0.0), float(row["points"]))
        assert ranks == sorted(ranks)
        assert ranks[0] == 1
        # The first of each rank has more points than any of a later one.
        assert all(a > b for a, b in itertools.pairwise(best.values()))


@pytest.mark.parametrize("start", WEEKS)
@pytest.mark.parametrize(("demo", "station"), STATIONS, ids=name_of)
def test_the_water_at_every_station(demo, station, start):
    turns = rows("tides", demo, "--station", station, "--start", start)
    assert turns
    highs = [row["event"] for row in turns]
    assert all(a != b for a, b in itertools.pairwise(highs))
    levels = rows("levels", demo, "--station", station, "--start", start, "--days", "7", "--step", "10min")
    heights = [float(row["height_m"]) for row in levels]
    inside = [float(row["height_m"]) for row in turns]
    assert max(heights) <= max(inside) + 0.25 and min(heights) >= min(inside) - 0.25


@pytest.mark.parametrize(("demo", "current"), CURRENTS, ids=name_of)
def test_every_current(demo, current):
    found = rows("currents", demo, "--station", current, "--start", WEEKS[0])
    assert {"slack", "flood", "ebb"} <= {row["event"] for row in found}


@pytest.mark.parametrize("start", WEEKS)
@pytest.mark.parametrize(("demo", "spot"), SPOTS, ids=name_of)
def test_the_sky_at_every_spot(demo, spot, start):
    found = rows("sky", demo, "--spot", spot, "--start", start)
    suns = [row for row in found if row["body"] == "sun" and row["event"] in ("rise", "set")]
    assert len(suns) == 14  # no demo lies beyond the polar circles
    for rise, sets in zip(suns[::2], suns[1::2], strict=True):
        day = posix(sets["time_local"]) - posix(rise["time_local"])
        if rise["event"] == "rise":
            assert 6 * 3600 < day < 18.5 * 3600


@pytest.mark.parametrize("command", ["week", "sky"])
@pytest.mark.parametrize(("demo", "spot"), SPOTS, ids=name_of)
def test_texts_of_a_spot_open_with_the_coast_s_being_invented(command, demo, spot):
    text = done(command, demo, "--spot", spot, "--start", WEEKS[0], now=LONG_AGO)
    assert text.startswith("INVENTED COAST")


@pytest.mark.parametrize(
    ("demo", "more"),
    [
        *((demo, (command,)) for command in ("best", "compare") for demo in DEMOS),
        *((demo, ("tides", "--station", station)) for demo, station in STATIONS),
        *((demo, ("currents", "--station", current)) for demo, current in CURRENTS),
    ],
    ids=lambda value: value.stem if hasattr(value, "stem") else " ".join(value),
)
def test_so_do_those_of_all_spots_and_of_the_water(demo, more):
    command, *options = more
    text = done(command, demo, *options, "--start", WEEKS[0], now=LONG_AGO)
    assert text.startswith("INVENTED COAST")
