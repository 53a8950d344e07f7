"""Spots whose flow is a speed and spots known by their fall alone are never ranked against each other."""

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from windows.render.words.likeness import alike, best_of_alike, unlike

from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.render.page.document import page
from windows.render.text import terminal
from windows.render.text.message import message
from windows.shoreline.shore import read_shore

DEMO = Path(__file__).parents[2] / "demo_stations" / "skerrow_strand.toml"
NOW = datetime(2026, 8, 1, tzinfo=UTC).timestamp()


@pytest.fixture(scope="module")
def mixed():
    shore = read_shore(DEMO)
    return make_forecast(shore, shore.spots, date(2026, 8, 10), 7, Outlook(NOW))


def of_kind(forecast, has_speed):
    spots = tuple(report for report in forecast.spots if report.flow.has_speed is has_speed)
    ids = {report.spot.id for report in spots}
    ranking = tuple(item for item in forecast.ranking if item.spot.id in ids)
    return replace(forecast, spots=spots, ranking=ranking)


def test_each_group_has_its_own_best(mixed):
    found = best_of_alike(mixed)
    assert [name for name, _ in found] == [
        "of the spots with a speed",
        "of the spots known by their fall alone",
    ]
    for has_speed, (_, top) in zip((True, False), found, strict=True):
        assert top is of_kind(mixed, has_speed).ranking[0]


@pytest.mark.parametrize("has_speed", [True, False])
def test_spots_of_one_kind_all_compare(mixed, has_speed):
    one = of_kind(mixed, has_speed)
    assert unlike(one) == ""
    assert best_of_alike(one) == [("", one.ranking[0])]
    assert "can't be compared" not in terminal.compare(one, 100)
    assert "can&#39;t be compared" not in page(one)


def test_alike_is_of_the_same_kind(mixed):
    for one in mixed.spots:
        for other in mixed.spots:
            assert alike(one, other) == (one.flow.has_speed == other.flow.has_speed)


def test_text_and_page_say_who_does_not_compare(mixed):
    sentence = "Long ledge, Harbour wall can't be compared with Narrows rocks, Mussel shelf."
    assert sentence in " ".join(terminal.compare(mixed, 100).split())
    assert page(mixed).count(sentence.replace("'", "&#39;")) == 2


def test_compare_explains_the_best_of_each_spot(mixed):
    text = " ".join(terminal.compare(mixed, 100).split())
    for report in mixed.spots:
        best = next(item for item in mixed.ranking if item.spot is report.spot)
        rank = next(n for n, item in enumerate(mixed.ranking, start=1) if item is best)
        assert f"{rank}. " in text
        assert f"at {report.spot.name}: {best.session.points.total:.1f} points = " in text


def test_the_page_and_the_message_name_the_best_of_each_group(mixed):
    shown = page(mixed)
    told = message(mixed)
    top_speed, top_fall = (item for _, item in best_of_alike(mixed))
    for name, item in (("with a speed", top_speed), ("known by their fall alone", top_fall)):
        line = next(line for line in told.splitlines() if line.endswith(f", best of the spots {name}"))
        assert item.spot.name in line
        if item is not mixed.ranking[0]:
            assert f"Best of the spots {name}" in shown
    assert len(told) < 500
