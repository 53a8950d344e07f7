"""The short caution stands right after the first section of every page, and there alone."""

import datetime as dt
import re
from datetime import date
from pathlib import Path

import pytest

from tests.windows.outing.planned import plans_of
from windows.conditions.outlook import Outlook
from windows.forecast.now import make_now
from windows.render.page.document import best_page, compare_page, page
from windows.render.page.instant import now_page
from windows.render.page.outing import plan_page
from windows.render.words import cautions
from windows.shoreline.shore import read_shore

DEMO = Path(__file__).parents[2] / "demo_stations"
AUGUST = dt.datetime(2026, 8, 11, 12, tzinfo=dt.UTC).timestamp()


def check(text):
    (place,) = [found.start() for found in re.finditer('<p class="caution">', text)]
    assert text[place:].startswith(f'<p class="caution">{cautions.SHORT}</p>')
    assert text[: text.index("</section>") + len("</section>")].rstrip() == text[:place].rstrip()


@pytest.mark.parametrize("write", [page, best_page, compare_page])
@pytest.mark.parametrize("spots", [(), ("railway-groyne",)])
def test_forecasts(forecast, write, spots):
    check(write(forecast("pellaway_sound", days=2, spots=spots)))


@pytest.mark.parametrize("write", [page, best_page, compare_page])
def test_days_without_a_window(forecast, write):
    check(write(forecast("pellaway_sound", first="2026-08-15", days=2, spots=["railway-groyne"])))


@pytest.mark.parametrize("write", [best_page, compare_page])
def test_what_was_asked_comes_before_it(forecast, write):
    text = write(forecast("pellaway_sound", days=2))
    answer = text[text.index("<main") : text.index('<p class="caution">')]
    assert ("Best: " in answer) == (write is best_page)
    assert ('class="spots-by-days' in answer) == (write is compare_page)


@pytest.mark.parametrize("spots", [1, 3])
def test_this_minute(spots):
    shore = read_shore(DEMO / "pellaway_sound.toml")
    check(now_page(make_now(shore, shore.spots[:spots], Outlook(AUGUST))))


@pytest.mark.parametrize("first", [date(2026, 8, 10), date(2026, 8, 15)])
def test_a_day_out(first):
    shore = read_shore(DEMO / "skerrow_strand.toml")
    check(plan_page(plans_of(shore, first, 2)))
