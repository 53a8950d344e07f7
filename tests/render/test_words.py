"""Words about single numbers: signs, units, and amounts too small to print."""

from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

import pytest

from harmonics.units import LengthUnit
from windows.outing.beside import GateUse
from windows.render.words.beside import ramp_slack
from windows.render.words.gates import shut_words
from windows.render.words.going import going_of
from windows.render.words.lead import lead_words
from windows.render.words.phrases import Words
from windows.render.words.reasons import why, why_none
from windows.render.words.water import running, starts_in_tide
from windows.shoreline.gates import LeastDepth
from windows.shoreline.spots import WantedWater
from windows.shoreline.tackle import Tackle

METRES = Words(ZoneInfo("UTC"), LengthUnit.METRES)
FEET = Words(ZoneInfo("UTC"), LengthUnit.FEET)
OUNCE = 0.028349523125  # standard: the avoirdupois ounce, 1/16 of 0.45359237 kg


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (2.3, "Starts 2.3 h after"),
        (-0.6, "Starts 0.6 h before"),
        (0.04, "Starts at"),
        (-0.04, "Starts at"),
        (-0.06, "Starts 0.1 h before"),
    ],
)
def test_a_start_before_high_water_says_before(hours, words):
    assert starts_in_tide(hours) == words


def lead_of(report, words, *leads, carried=None):
    moments = dict(zip(("start", "peak", "end"), leads, strict=True))
    changed = {name: getattr(report, name)._replace(lead=lead) for name, lead in moments.items()}
    tackle = Tackle(heaviest_lead=carried)
    spot = replace(report.spot, preferences=report.spot.preferences._replace(tackle=tackle))
    slips = None if carried is None else report.start.t
    return lead_words(replace(report, spot=spot, lead_slips=slips, **changed), words)


def test_lead_is_told_in_the_readers_weights(coast):
    report = coast("2026-08-01", 1).ranking[0]
    leads = ((0.1 * OUNCE, 0.2 * OUNCE), (2.0 * OUNCE, 4.5 * OUNCE), None)
    (metric,) = lead_of(report, METRES, *leads)
    assert metric.endswith("a starting point: 3-6, 57-128, dry g.")
    (imperial,) = lead_of(report, FEET, *leads)
    assert imperial.endswith("a starting point: 0.1-0.2, 2.0-4.5, dry oz (3-6, 57-128, dry g).")


def test_hardly_any_lead_is_not_told_as_nothing(coast):
    report = coast("2026-08-01", 1).ranking[0]
    leads = ((0.0, 0.0), (0.0001, 0.0004), (0.0003, 0.002))
    (metric,) = lead_of(report, METRES, *leads)
    assert metric.endswith("a starting point: less than 1, less than 1, 0-2 g.")
    (imperial,) = lead_of(report, FEET, *leads)
    assert ": less than 0.1, less than 0.1, 0.0-0.1 oz (" in imperial


@pytest.mark.parametrize(
    ("carried", "words", "told"),
    [
        (0.170, METRES, "The 170 g you carry"),
        (0.170, FEET, "The 6 oz you carry"),
        (2.5 * OUNCE, FEET, "The 2.5 oz you carry"),
    ],
)
def test_the_lead_one_carries_is_a_round_number(coast, carried, words, told):
    report = coast("2026-08-01", 1).ranking[0]
    assert lead_of(report, words, None, None, None, carried=carried)[-1].startswith(told)


def test_a_spot_that_may_dry_is_shut_while_it_is_dry():
    assert shut_words(LeastDepth(0.0), FEET) == "while it is dry"
    assert shut_words(LeastDepth(0.6096), FEET) == "in less than 2.0 ft of water"


@pytest.mark.parametrize(
    ("zone", "t", "clock"),
    [
        # 1 November 2026: 2 h summer time becomes 1 h in Chicago, at 7 h UTC
        ("America/Chicago", 1793512800.0 - 1800.0, "00:30"),
        ("America/Chicago", 1793512800.0 + 1800.0, "01:30 CDT"),
        ("America/Chicago", 1793512800.0 + 5400.0, "01:30 CST"),
        ("America/Chicago", 1793512800.0 + 7200.0, "02:00"),
        # 14 March 2027: 2 h becomes 3 h, and no hour comes twice
        ("America/Chicago", 1805011200.0 - 60.0, "01:59"),
        ("America/Chicago", 1805011200.0, "03:00"),
        # 5 April 2026 on Lord Howe Island: half an hour comes twice; its clock has no letters
        ("Australia/Lord_Howe", 1775314800.0 - 900.0, "01:45 UTC+11:00"),
        ("Australia/Lord_Howe", 1775314800.0 + 900.0, "01:45 UTC+10:30"),
    ],
)
def test_an_hour_that_comes_twice_is_told_apart(zone, t, clock):
    assert Words(ZoneInfo(zone), LengthUnit.METRES).clock(t) == clock


def test_good_water_that_is_over_is_said_to_be_past(coast):
    made = coast("2026-08-12", 1, more='light = "any"', now=1786579200.0 - 60.0)  # Thu 13 Aug 0 h UTC
    (day,) = coast("2026-08-12", 1, more='light = "any"', zone="UTC", now=1786579200.0 - 60.0).spots[0].days
    told = why_none(day, made.spots[0], METRES)
    assert "you can't be there yet" in told or "already past" in told, told


def test_each_session_tells_where_in_the_tide_it_starts_and_how_the_water_runs(coast):
    made = coast("2026-08-01", 3)
    for report in made.ranking:
        told = " ".join(why(report, METRES))
        assert starts_in_tide(report.hours_after_turn) in told
        assert (
            running((report.start, report.peak, report.end), False, going_of(WantedWater.OUTGOING), METRES)
            in told
        )


@pytest.mark.parametrize(
    ("clear", "until", "said"),
    [
        (1200.0, 3600.0, "it shuts at 01:00, 40 min after you are out"),
        (1200.0, 1200.0, "it shuts at 00:20, just as you are out"),
        (0.0, 1200.0, "it shuts at 00:20, 20 min after you are back"),
        (1200.0, 15900.0, "it stays open until 04:25"),
        (1200.0, None, "it stays open for a day and more"),
    ],
)
def test_a_landing_is_needed_until_the_boat_is_out(clear, until, said):
    check = GateUse(t=0.0, clear=clear, level=1.0, spare=0.2, depth=None, since=None, until=until)
    assert ramp_slack(check, METRES, date(1970, 1, 1)) == said
