"""The page of this minute: its numbers are the report's, nothing is asked of the network."""

import datetime as dt
import html
import re
from pathlib import Path

import pytest

from windows.conditions.outlook import Outlook
from windows.forecast.now import make_now
from windows.render.page.instant import now_page
from windows.render.words import cautions
from windows.render.words.now import moves, what_to_do
from windows.render.words.phrases import words_of
from windows.shoreline.shore import read_shore

DEMO = Path(__file__).parents[2] / "demo_stations"


def report_of(name, at):
    shore = read_shore(DEMO / f"{name}.toml")
    return make_now(shore, shore.spots, Outlook(dt.datetime.fromisoformat(at).timestamp()))


@pytest.mark.parametrize("name", ["pellaway_sound", "skerrow_strand", "korimako_reach"])
def test_each_spot_says_what_its_water_does_until_when_and_what_to_do(name):
    report = report_of(name, "2026-08-11T19:10:00+00:00")
    text, words = html.unescape(now_page(report)), words_of(report.head)
    shown = " ".join(re.sub(r"<[^>]+>", " ", text[text.index("<body") :]).split())
    place = 0
    for item in report.spots:
        place = shown.index(item.spot.name, place)
        for part in (moves(item, words), f"{item.points.total:.0f}", words.height(item.reading.level)):
            assert shown.index(part, place) < place + 200
        assert shown.index(what_to_do(item, words), place) > place
    assert cautions.SHORT in shown and cautions.INVENTED in shown and report.head.zone.key in shown
    assert "default-src 'none'" in text and "script-src 'none'" in text
    assert text.count('class="filled"') == sum(item.window is not None for item in report.spots)


def test_the_line_of_the_chart_stands_at_now():
    report = report_of("skerrow_strand", "2026-08-11T12:00:00+01:00")
    assert len(re.findall(r'class="cursor" d="M193\.0 22V176"', now_page(report))) == len(report.spots)
