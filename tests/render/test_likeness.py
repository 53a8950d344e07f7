"""Spots whose flow is a speed and spots known by their fall alone are never ranked against each other."""

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from windows.conditions.outlook import Outlook
from windows.forecast.making import make_forecast
from windows.forecast.ranking import RankGroup, level_ranks
from windows.render.page.document import page
from windows.render.text import terminal
from windows.render.text.message import message
from windows.render.words.options import Why
from windows.render.words.phrases import words_of
from windows.render.words.ranks import best_of_groups, level_words, rank_text, unlike
from windows.shoreline.shore import read_shore
from windows.shoreline.spots import Points

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
    found = best_of_groups(mixed)
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
    assert best_of_groups(one) == [("", one.ranking[0])]
    assert "can't be compared" not in terminal.compare(one, 100)
    assert "can&#39;t be compared" not in page(one)


def test_a_group_is_of_one_kind_and_ranks_by_itself(mixed):
    for group in RankGroup:
        sessions = mixed.group(group)
        assert sessions
        assert {item.flow.has_speed for item in sessions} == {group is RankGroup.SPEED}
        assert sessions[0].rank == 1
        assert [item.order for item in sessions] == sorted(item.order for item in sessions)
    assert mixed.ranking == (*mixed.group(RankGroup.SPEED), *mixed.group(RankGroup.FALL))


def test_level_sessions_share_a_rank_and_the_mark_of_it(mixed):
    for group in RankGroup:
        sessions = mixed.group(group)
        for rank in {item.rank for item in sessions}:
            sharing = [item for item in sessions if item.rank == rank]
            first = max(sharing, key=lambda item: item.session.points.total)
            assert {rank_text(item) for item in sharing} == {f"{rank}{'=' if len(sharing) > 1 else ''}"}
            for item in sharing:
                apart = first.session.points.total - item.session.points.total
                joint = (first.session.deviation**2 + item.session.deviation**2) ** 0.5
                assert apart < 2.0 or apart < 0.5 * joint
            darks = [item.session.dark for item in sharing]
            assert darks == sorted(darks)


def test_the_line_of_the_best_names_who_has_more_points_in_its_rank(mixed):
    words = words_of(mixed.head)
    top = mixed.group(RankGroup.SPEED)[0]

    def other(points: float, rank: int = 1):
        session = top.session._replace(points=Points(points, 0.0, 0.0))
        return replace(top, session=session, rank=rank)

    most = top.session.points.total
    assert level_words([top, other(most + 3.0, rank=2), other(most - 1.0)], top, words) == ""
    told = level_words([top, other(most + 1.0), other(most + 1.5)], top, words)
    assert told.endswith(f"{round(most + 1.5)} points")


@pytest.mark.parametrize(
    ("points", "deviations", "ranks"),
    [
        ([90.0, 88.1, 88.0], [0.0, 0.0, 0.0], [1, 1, 3]),
        ([90.0, 88.5, 87.5], [0.0, 0.0, 0.0], [1, 1, 3]),
        ([90.0, 85.1, 84.9], [6.0, 8.0, 8.0], [1, 1, 3]),
        ([90.0], [0.0], [1]),
        ([], [], []),
    ],
)
def test_ranks_are_shared_below_two_points_or_half_the_joint_deviation(mixed, points, deviations, ranks):
    one = mixed.ranking[0].session
    made = [
        one._replace(points=Points(p, 0.0, 0.0), deviation=d) for p, d in zip(points, deviations, strict=True)
    ]
    assert level_ranks(made) == ranks


def test_text_and_page_say_who_does_not_compare(mixed):
    sentence = "Long ledge, Harbour wall can't be compared with Narrows rocks, Mussel shelf."
    assert sentence in " ".join(terminal.compare(mixed, 100).split())
    assert page(mixed).count(sentence.replace("'", "&#39;")) == 2


def test_compare_explains_the_best_of_each_spot(mixed):
    text = " ".join(terminal.compare(mixed, 100, Why.ALL).split())
    for report in mixed.spots:
        best = next(item for item in mixed.ranking if item.spot is report.spot)
        assert f"{rank_text(best)}. " in text
        assert f"at {report.spot.name}: {best.session.points.total:.1f} points = " in text


def test_by_default_the_first_of_each_group_is_explained_and_the_rest_get_a_line(mixed):
    told = {why: " ".join(terminal.best(mixed, 100, why).split()) for why in Why}
    assert told[Why.BEST].count(" points = flow ") == 2
    assert told[Why.ALL].count(" points = flow ") == 10
    assert told[Why.NONE].count(" points = flow ") == 0
    assert "The others, in a line each" in told[Why.BEST]
    assert "The others, in a line each" not in told[Why.ALL] + told[Why.NONE]


def test_the_page_and_the_message_name_the_best_of_each_group(mixed):
    shown = page(mixed)
    told = message(mixed)
    top_speed, top_fall = (item for _, item in best_of_groups(mixed))
    for name, item in (("with a speed", top_speed), ("known by their fall alone", top_fall)):
        line = next(line for line in told.splitlines() if line.endswith(f", best of the spots {name}"))
        assert item.spot.name in line
        if item is not mixed.ranking[0]:
            assert f"Best of the spots {name}" in shown
    assert len(told) < 500
