"""A log of ten thousand trips: listed, counted and exported, each beside reading it at all.

Here only results are asserted, never a time.
"""

import csv
import io

import numpy as np
import pytest

from harmonics.units import LengthUnit
from tests.bench.growth import record_growth
from tests.windows.log.notebooks import World, notebook
from windows.log.exchange import written
from windows.log.report import make_report
from windows.log.storage import SqliteStore
from windows.render.text.log import trips_text

TRIPS, FEW = 10_000, 300
SHOWN = 20
MOST = 30_000
DRAW = np.random.default_rng(2)


@pytest.fixture(scope="module")
def log(tmp_path_factory, ratio_table):
    path = tmp_path_factory.mktemp("log") / "trips.db"
    world = World(ratio=1.3, spots=6, months=12)
    trips = notebook(world, TRIPS if ratio_table.enabled else FEW, np.random.default_rng(1))
    with SqliteStore(path, create=True) as store:
        store.add_all(trips)
    return path


def test_ten_thousand_trips(log, ratio_table):
    def read():
        with SqliteStore(log) as store:
            return store.trips()

    def listed():
        trips = read()
        return trips_text(trips[-SHOWN:], len(trips), str(log), LengthUnit.METRES, 100)

    tasks = {
        "listed": listed,
        "a report without shuffling": lambda: make_report(read(), permutations=0),
        "a report with 4,999 shufflings": lambda: make_report(read()),
        "exported": lambda: written(read()),
    }
    count = len(read())
    assert f"The last {SHOWN} of {count} trips" in listed()
    assert len(tasks["a report without shuffling"]().counts) == count
    rows = list(csv.DictReader(io.StringIO(tasks["exported"]())))
    assert len({row["uid"] for row in rows}) == count
    for what, task in tasks.items():
        ratio_table.compare(f"{count:,} trips of a log: {what}", task, {"read alone": read})


def test_growth(tmp_path, ratio_table):
    """Trips kept one commit at a time, and a report of all, by how many there are."""
    trips = notebook(World(ratio=1.3, spots=6, months=12), MOST if ratio_table.enabled else FEW, DRAW)

    def kept(count):
        path = tmp_path / f"{count}.db"
        path.unlink(missing_ok=True)
        with SqliteStore(path, create=True) as store:
            for trip in trips[:count]:
                store.add_all([trip])
            return len(store.trips())

    assert kept(10) == 10
    record_growth(ratio_table, "trips kept, each safe on disk", kept, (10, 100, 1000), rounds=1)
    record_growth(
        ratio_table,
        "a report of trips",
        lambda count: make_report(trips[:count], permutations=99),
        (300, 3000, 30000),
        rounds=1,
    )
