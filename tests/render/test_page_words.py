"""What a page says: its best session, its days, why a day has none, names and cautions."""

import datetime as dt
import re
from zoneinfo import ZoneInfo

import numpy as np

from harmonics.stations import tides
from tests.render.page_reader import Reader
from windows.forecast.reports import Lack, Note
from windows.render.page.document import page
from windows.render.words import cautions
from windows.render.words.gates import edge_words
from windows.render.words.safe_text import isolated, plain
from windows.shoreline.spots import WantedWater


def test_the_day_in_words_has_its_turns_and_slacks(coast):
    made = coast("2026-08-12", 2, lag=55.0)
    zone = ZoneInfo("America/Chicago")
    read = Reader(page(made))
    told = [text for text in read.text("dd") if "high water" in text]
    assert len(told) == 2
    for text, day in zip(told, made.spots[0].days, strict=True):
        turns = tides.high_low_waters(made.spots[0].spot.station, day.start - 7200.0, day.end + 7200.0).turns
        expected = {}
        for t, high in zip(turns.t, turns.high, strict=True):
            if day.start <= t < day.end:
                local = dt.datetime.fromtimestamp(round(t / 60.0) * 60.0, zone)
                expected[t] = f"{'high' if high else 'low'} water .* at {local:%H:%M}"
            slack = t + 55 * 60.0
            if day.start <= slack < day.end:
                # straight between 5-minute steps, so not to the second
                locals_ = [
                    dt.datetime.fromtimestamp(round((slack + s) / 60.0) * 60.0, zone) for s in (-30, 0, 30)
                ]
                clocks = "|".join(f"{local:%H:%M}" for local in locals_)
                expected[slack] = f"flow turns to {'go out' if high else 'come in'} at ({clocks})"
        parts = text.rstrip(".").split("; ")
        assert len(parts) == len(expected) >= 7
        for part, wanted in zip(parts, [expected[t] for t in sorted(expected)], strict=True):
            assert re.fullmatch(wanted, part), (part, wanted)


def test_first_screen_tells_the_best_session_its_water_and_the_caution(forecast):
    made = forecast("pellaway_sound", spots=["railway-groyne"])
    best = made.ranking[0]
    text = page(made)
    head = Reader(text[: text.index("<details")]).shown
    zone = ZoneInfo("America/Chicago")
    start, end = (dt.datetime.fromtimestamp(t, zone) for t in (best.session.start, best.session.end))
    sunset = dt.datetime.fromtimestamp(round(best.sun["sunset"] / 60.0) * 60.0, zone)
    wanted = [
        cautions.INVENTED,
        "Railway groyne",
        f"Best: {start:%a} {start.day} {start:%b}",
        f"{start:%H:%M}-{end:%H:%M}",
        f"{best.session.points.total:.0f} of 100 points",
        f"level {best.start.level / 0.3048:.1f} to {best.end.level / 0.3048:.1f} ft",
        f"sunset {sunset:%H:%M}",
        "ends after dark",
        cautions.SHORT,
    ]
    places = [head.index(part) for part in wanted]
    assert places == sorted(places)
    assert head.startswith(f"Skip to the days {cautions.INVENTED}")
    why = text[text.index('<details class="why-best">') : text.index("<nav")]
    for part in (
        edge_words(best.session.window.opens, True, WantedWater.OUTGOING),
        edge_words(best.session.window.closes, False, WantedWater.OUTGOING),
        *(f"{note.value[1:]}." for note in best.notes),
        f"{best.session.low:.0f} to {best.session.high:.0f} in eight cases of ten",
    ):
        assert part in why


def test_points_are_said_to_be_expected_ones(forecast):
    shown = Reader(page(forecast("skerrow_strand", days=1))).shown
    assert "the mean over how wrong the water can be" in shown
    assert "divided by the length you want" in shown and "Eight cases in ten" in shown
    both = Reader(page(forecast("pellaway_sound", days=1))).shown
    assert "off by 20 or 40 minutes (standard deviation); the greater where the turn" in both
    known = Reader(page(forecast("skerrow_strand", days=1, spots=["narrows-rocks"]))).shown
    assert "off by 20 minutes (standard deviation)." in known
    assert "mean over its whole length" not in shown + known + both


def test_every_session_every_day_and_every_caution_is_there(forecast):
    made = forecast("skerrow_strand", spots=["long-ledge"])
    read = Reader(page(made))
    zone = ZoneInfo("Europe/London")
    assert len(made.ranking) > 7
    buttons = [text for text in read.text("button") if text]
    assert len(buttons) == len(made.ranking)
    for item in made.ranking:
        start = dt.datetime.fromtimestamp(item.session.start, zone)
        assert any(f"{start:%H:%M}-" in text for text in buttons)
    for line in (*cautions.FULL, cautions.SOLUNAR, cautions.EVIDENCE, cautions.FALL_ONLY):
        assert line in read.shown
    assert "Wind and waves are not considered" in read.shown
    rows = [t for t in read.text("table") if re.fullmatch(r"\d+", t)]
    assert [int(x) for x in rows] == [round(item.session.points.total) for item in made.ranking]


def test_days_without_a_window_say_why_and_the_nearest_chance_is_named(forecast):
    made = forecast("pellaway_sound", first="2026-08-15", days=2, spots=["railway-groyne"])
    assert not made.ranking
    read = Reader(page(made))
    report = made.spots[0]
    inside = (report.curve.t >= report.days[0].start) & (report.curve.t < report.days[-1].end)
    most = int(np.flatnonzero(inside)[report.curve.total[inside].argmax()])
    local = dt.datetime.fromtimestamp(float(report.curve.t[most]), ZoneInfo("America/Chicago"))
    chance = f"The nearest chance is {local:%a} {local.day} {local:%b} {local:%H:%M}"
    assert chance in read.shown
    assert f"{report.curve.total[most]:.0f} points, where 50 are needed" in read.shown
    assert read.shown.index("No window in these days") < read.shown.index(chance)
    assert read.shown.count("The water hardly moves") >= 2
    assert not read.of("button")


def test_the_only_spot_is_named_on_the_tab_and_where_nothing_ranks(forecast):
    made = forecast("pellaway_sound", first="2026-08-15", days=2, spots=["railway-groyne"])
    text = page(made)
    assert "<title>Pellaway Sound, Railway groyne, Sat 15 Aug to Sun 16 Aug 2026</title>" in text
    head = Reader(text[: text.index("<nav")]).shown
    assert "Railway groyne , Pellaway Sound" in head
    assert "No window in these days The nearest chance" in head
    both = page(forecast("pellaway_sound", first="2026-08-15", days=2))
    assert "<title>Pellaway Sound, Sat 15 Aug to Sun 16 Aug 2026</title>" in both


def test_reminders_do_not_shout_as_hazards_do(forecast):
    made = forecast("skerrow_strand", spots=["long-ledge"])
    read = Reader(page(made))
    hazards = {
        "Starts in the dark: carry a light.",
        "Ends after dark: carry a light.",
        "The water is rising at the end: watch the way back.",
    }
    loud, quiet = set(read.text("p", "hazard")), set(read.text("p", "note"))
    assert loud and loud <= hazards
    assert not quiet & hazards
    assert {note for item in made.ranking for note in item.notes} >= {Note.AFTER_DARK}


def test_names_that_run_right_to_left_stay_apart_from_the_sentence(coast, hostile):
    rtl = plain(hostile["rtl"])
    assert isolated(rtl) == f"\u2068{rtl}\u2069"
    names = {"rtl": hostile["rtl"], "post": "Post"}
    none = Reader(page(coast("2026-08-03", 2, names=names, title=hostile["rtl"], more='days = ["sat"]')))
    assert re.search(rf"The nearest chance is \w+ \d+ Aug at (\u2068{rtl}\u2069|Post), when", none.shown)
    some = Reader(page(coast("2026-08-03", 2, names=names, title=hostile["rtl"])))
    one = page(coast("2026-08-03", 2, names={"rtl": hostile["rtl"]}, title=hostile["rtl"]))
    assert f"<title>\u2068{rtl}\u2069, \u2068{rtl}\u2069, Mon 3 Aug" in one
    loose = [
        (path, data)
        for path, _, data in (*none.pieces, *some.pieces)
        if rtl in data and path[-1] != "bdi" and f"\u2068{rtl}\u2069" not in data
    ]
    assert loose == []


def test_a_week_that_is_never_open_still_names_a_day(coast):
    made = coast("2026-08-03", 4, more='days = ["sat"]')
    assert {day.no_window.lack for day in made.spots[0].days} == {Lack.DAY_OFF}
    report = made.spots[0]
    most = max(
        report.days,
        key=lambda day: report.curve.outgoing[
            (report.curve.t >= day.start) & (report.curve.t < day.end)
        ].max(),
    )
    shown = Reader(page(made)).shown
    name = f"{most.day:%a} {most.day.day} {most.day:%b}"
    assert f"The nearest chance is {name}, when the water goes out most (not one of your days)." in shown


def test_the_file_is_named_without_its_folders(forecast):
    made = forecast("pellaway_sound", spots=["grass-cut"])
    text = page(made, source="/home/someone/secret/coast.toml")
    assert "from coast.toml" in text
    assert "secret" not in text and "/home" not in text
    assert "Made Thu 30 Jul 2026 19:00 (CDT)" in text


def test_a_real_coast_carries_no_banner_and_an_invented_one_does(coast):
    assert cautions.INVENTED not in page(coast("2026-08-01", 1, invented=False))
    assert cautions.INVENTED in page(coast("2026-08-01", 1))


def test_the_sheet_says_where_the_sun_stays_and_when_bait_is_gathered(coast, forecast):
    north = {"latitude": 69.45, "longitude": 15.0, "zone": "Europe/Oslo"}
    for day, told in (("2026-06-20", "sun up all day"), ("2026-12-20", "sun down all day")):
        assert told in page(coast(day, 1, **north))
    made = forecast("pellaway_sound", spots=["railway-groyne"])
    rows = " ".join(Reader(page(made)).text("th"))
    baits = [item.bait.window for item in made.ranking if item.bait is not None]
    for window in filter(None, baits):
        begins = dt.datetime.fromtimestamp(round(window.start / 60.0) * 60.0, made.head.zone)
        assert re.search(rf"Bait [^.]*{begins:%H:%M}-", rows)
    assert any(baits)
