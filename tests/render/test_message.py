"""The phone message: short whatever it holds, cautions last."""

import datetime as dt
import re
from zoneinfo import ZoneInfo

import pytest

from windows.render.text.message import message
from windows.render.words import cautions
from windows.render.words.phrases import words_of
from windows.render.words.ranks import best_of_groups


@pytest.mark.parametrize("name", ["pellaway_sound", "korimako_reach", "skerrow_strand"])
@pytest.mark.parametrize("days", [1, 7, 31])
def test_always_under_500_characters_with_cautions_and_notice(forecast, name, days):
    text = message(forecast(name, days=days))
    assert len(text) < 500
    assert text.endswith(cautions.SHORT)
    assert text.startswith(cautions.INVENTED + "\n")


def test_hostile_and_endless_names_still_fit(coast, hostile):
    made = coast("2026-08-01", 7, names=hostile, title="Bay " * 45)
    text = message(made)
    assert len(text) < 500
    assert text.endswith(cautions.SHORT)
    assert "\u202e" not in text
    lines = [line for line in text.split("\n") if " points" in line]
    assert lines
    assert all(len(line) < 80 for line in lines)
    only = message(coast("2026-08-01", 3, names={"rtl": hostile["rtl"]}))
    line = next(line for line in only.split("\n") if "\u05de" in line)
    assert line.count("\u2068") == line.count("\u2069") == 1


def test_best_sessions_in_order_of_time(forecast):
    made = forecast("skerrow_strand", spots=["long-ledge"])
    zone = ZoneInfo("Europe/London")
    text = message(made)
    lines = [line for line in text.split("\n") if " points" in line]
    assert len(lines) == 2 < len(made.ranking)
    chosen = sorted(made.ranking[: len(lines)], key=lambda item: item.session.start)
    for line, item in zip(lines, chosen, strict=True):
        start, end = (dt.datetime.fromtimestamp(t, zone) for t in (item.session.start, item.session.end))
        assert line.startswith(f"{start:%a} {start.day} {start:%b} {start:%H:%M}-{end:%H:%M}: ")
        assert f"{item.session.points.total:.0f} points" in line
    best = [line for line in lines if line.endswith(", best")]
    assert len(best) == 1
    top = dt.datetime.fromtimestamp(made.ranking[0].session.start, zone)
    assert f"{top:%H:%M}-" in best[0]
    left = int(re.search(r"and (\d+) of lower rank", text)[1])
    assert left + len(lines) == len(made.ranking)
    assert "Long ledge" in text


@pytest.mark.parametrize("name", ["pellaway_sound", "korimako_reach", "skerrow_strand"])
@pytest.mark.parametrize("days", [1, 7, 31])
def test_it_names_the_best_two_with_high_water_and_when_to_leave(forecast, name, days):
    made = forecast(name, days=days)
    words = words_of(made.head)
    lines = [line for line in message(made).split("\n") if " points" in line]
    tops = [item for _, item in best_of_groups(made)]
    chosen = [*tops, *(item for item in made.ranking if item not in tops)][:2]
    chosen.sort(key=lambda item: item.session.start)
    assert len(lines) == len(chosen)
    for line, item in zip(lines, chosen, strict=True):
        turn = item.turn_before
        assert turn is None or f"{'high' if turn.high else 'low'} " in line
        assert turn is None or words.clock(turn.t) in line
        assert (item.leave_by is not None) == ("leave by" in line)
        assert item.leave_by is None or f"leave by {words.clock(item.leave_by)}" in line
        assert "chance" not in line  # no demo has a record


def test_several_spots_are_named_in_each_line(forecast):
    made = forecast("pellaway_sound")
    lines = [line for line in message(made).split("\n") if " points" in line]
    names = [report.spot.name for report in made.spots]
    assert all(any(name in line for name in names) for line in lines)


def test_no_window_says_so(forecast):
    made = forecast("pellaway_sound", first="2026-08-15", days=2, spots=["railway-groyne"])
    text = message(made)
    assert "Railway groyne\nNo window in these days." in text
    assert " points" not in text and text.endswith(cautions.SHORT)
