"""The phone message: short whatever it holds, cautions last."""

import datetime as dt
import re
from zoneinfo import ZoneInfo

import pytest

from windows.render.text.message import message
from windows.render.words import cautions


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
    assert 3 <= len(lines) < len(made.ranking)
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
def test_it_holds_as_many_sessions_as_fit(forecast, name):
    text = message(forecast(name, days=31))
    lines = [line for line in text.split("\n") if " points" in line]
    assert "of lower rank" in text
    assert len(text) + 1 + max(len(line) for line in lines) + 10 > 499


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
