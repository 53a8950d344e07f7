"""Speed of the page beside the table it replaces, and of many pages.

Run with --benchmark-enable. Here only sameness is asserted, never a time.
"""

import datetime as dt
from pathlib import Path

import pytest

from tests.bench.growth import record_growth
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.render.page.document import page
from windows.render.text import terminal
from windows.shoreline.shore import Shore, read_shore

DEMO = Path(__file__).parents[2] / "demo_stations"
FIRST = dt.date(2026, 8, 10)
MADE = dt.datetime(2026, 8, 1, tzinfo=dt.UTC).timestamp()
SPOTS = 50
FEW = 10
"""Spots where nothing is timed."""


@pytest.fixture(scope="module")
def shore() -> Shore:
    return read_shore(DEMO / "skerrow_strand.toml")


@pytest.fixture(scope="module")
def spots(shore, ratio_table):
    count = SPOTS if ratio_table.enabled else FEW
    return [shore.spots[i % len(shore.spots)] for i in range(count)]


def week(shore: Shore):
    return make_forecast(shore, [shore.spot("long-ledge")], FIRST, 7, Outlook(MADE))


def test_a_weeks_page_beside_its_table(shore, ratio_table):
    def as_page():
        return page(week(shore))

    def as_table():
        return terminal.week(week(shore), 100)

    assert "Long ledge" in as_page() and "Long ledge" in as_table()
    ratio_table.compare("a week at one spot as a page", as_page, {"as the table": as_table})


def test_pages_of_many_spots(benchmark, shore, spots):
    """Spots, each a forecast and a page of its own."""

    def every():
        return [page(make_forecast(shore, [spot], FIRST, 7, Outlook(MADE))) for spot in spots]

    pages = benchmark.pedantic(every, rounds=2, iterations=1)
    assert len(pages) == len(spots) and pages[0] == pages[len(shore.spots)]


def test_one_page_of_many_spots(benchmark, shore, spots):
    forecast = make_forecast(shore, spots, FIRST, 7, Outlook(MADE))
    text = benchmark.pedantic(lambda: page(forecast), rounds=2, iterations=1)
    assert text.count('class="reader"') == 7 * len(spots)


def test_growth_of_pages(shore, ratio_table):
    """A page alone, without its forecast, by spots; and beside the forecast that it shows."""

    def forecast(count):
        some = [shore.spots[i % len(shore.spots)] for i in range(count)]
        return make_forecast(shore, some, FIRST, 7, Outlook(MADE))

    made = {count: forecast(count) for count in ((5, 50) if ratio_table.enabled else (2,))}
    assert page(next(iter(made.values()))).startswith("<!DOCTYPE html>")
    record_growth(ratio_table, "pages by spots", lambda n: page(made[n]), tuple(made))
    ratio_table.compare(
        f"a page of {max(made)} spots, forecast and all",
        lambda: page(forecast(max(made))),
        {"its forecast": lambda: forecast(max(made))},
    )
