"""The water of one instant: beside the forecast it stands on, and by spots.

Run with --benchmark-enable. Here only results are asserted, never a time.
"""

from datetime import UTC, date, datetime
from pathlib import Path

from tests.bench.cold import COMMAND, best_cold
from tests.bench.growth import record_growth
from tests.bench.test_start import DEMO, WEEK
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.forecast.now import make_now
from windows.shoreline.shore import read_shore

TODAY = date(2026, 8, 10)
NOW = datetime(2026, 8, 10, 17, 0, tzinfo=UTC).timestamp()
NOW_COMMAND = (*COMMAND, "now", DEMO, "--spot", "railway-groyne")


def test_now_beside_its_forecast(ratio_table):
    shore = read_shore(Path(__file__).parents[2] / DEMO)

    def spots(count):
        return [shore.spots[i % len(shore.spots)] for i in range(count)]

    def now(count):
        return make_now(shore, spots(count), Outlook(NOW))

    assert [item.report.spot for item in now(3).spots] == spots(3)
    record_growth(ratio_table, "now, by spots", now, (1, 10, 100))
    forecast = {"a forecast of three days": lambda: make_forecast(shore, spots(4), TODAY, 3, Outlook(NOW))}
    ratio_table.compare("now at four spots", lambda: now(4), forecast)


def test_now_cold_beside_a_week(ratio_table, bytecode):
    if not ratio_table.enabled:
        return
    own, other = best_cold([NOW_COMMAND, (*COMMAND, *WEEK)], bytecode)
    ratio_table.record("ebblight now, cold", own, "ebblight week, cold", other)
