"""The local pages: rooms beside the forecasts they show, and how answers grow with those who ask.

Run with --benchmark-enable. Here only results are asserted, never a time. Whole processes, silent connections
and memory are in `python -m tests.app.long_run`.
"""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from itertools import count

import pytest

from tests.app.asking import AT, Site
from tests.app.conftest import NOW, REPOSITORY, Running
from tests.bench.growth import record_growth
from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.render.page.document import page
from windows.shoreline.shore import read_shore

DEMO = REPOSITORY / "demo_stations" / "pellaway_sound.toml"


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Iterator[Site]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data")))
        running = Running(DEMO)
        yield Site(running.port)
        running.end()


def test_rooms_beside_what_they_show(site, ratio_table):
    """Each time another first day, so that nothing is answered from what is kept."""
    shore, days = read_shore(DEMO), count()

    def first() -> date:
        return date.fromordinal(date(2026, 9, 1).toordinal() + next(days))

    def room():
        answer = site.get(f"{AT}/compare?start={first()}")
        assert answer.status == 200
        return answer

    def alone():
        return page(make_forecast(shore, shore.spots, first(), 7, Outlook(NOW)))

    assert "</html>" in room().text and "</html>" in alone()
    ratio_table.compare("a week at all spots, asked of the local pages", room, {"made as a page": alone})
    ratio_table.compare(
        "the same week asked again",
        lambda: site.get(f"{AT}/compare?start=2026-08-12"),
        {"asked first": room},
    )


def test_growth_with_people_who_ask(site, ratio_table):
    def asked(people):
        with ThreadPoolExecutor(people) as pool:
            paths = [f"{AT}/shore"] * people
            return [answer.status for answer in pool.map(site.get, paths)]

    assert asked(2) == [200, 200]
    record_growth(ratio_table, "the shore, asked at once", asked, (1, 10, 100))
