"""The page as a file: what it holds, what it never asks for, and that its numbers are the forecast's."""

import base64
import datetime as dt
import hashlib
import re
from collections import Counter
from dataclasses import replace
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from harmonics.stations import tides
from tests.render.curves import numbers
from tests.render.page_reader import Reader
from windows.render.page.document import page


def test_a_week_at_one_spot_is_small_and_whole(forecast):
    for name, spot in (
        ("pellaway_sound", "railway-groyne"),
        ("skerrow_strand", "long-ledge"),
        ("skerrow_strand", "narrows-rocks"),
        ("korimako_reach", "stone-steps"),
    ):
        text = page(forecast(name, spots=[spot]))
        assert len(text.encode()) < 150_000
        read = Reader(text)
        assert read.open == []
        assert len(read.of("figure", "chart")) == 7
        assert len({a["id"] for _, a in read.elements if "id" in a}) == sum(
            "id" in a for _, a in read.elements
        )


def test_fifty_spots_fit_a_message(coast):
    names = {f"s{i}": f"Spot {i}" for i in range(50)}
    text = page(coast("2026-08-10", names=names))
    assert len(Reader(text).of("figure", "chart")) == 350
    assert len(text.encode()) < 2_500_000


def test_page_asks_for_nothing_and_its_policy_forbids_it(forecast):
    text = page(forecast("pellaway_sound"))
    read = Reader(text)
    tags = {tag for tag, _ in read.elements}
    assert not tags & {
        "link",
        "img",
        "iframe",
        "object",
        "embed",
        "audio",
        "video",
        "form",
        "base",
        "image",
        "use",
    }
    for _, attrs in read.elements:
        assert not set(attrs) & {"src", "srcset", "style", "action", "onclick", "onload"}
        assert not any(name.startswith("on") for name in attrs)
        assert attrs.get("href", "#").startswith("#")
    ids = {attrs["id"] for _, attrs in read.elements if "id" in attrs}
    assert {a["href"][1:] for _, a in read.elements if "href" in a} <= ids
    (policy,) = [a["content"] for a in read.of("meta") if a.get("http-equiv") == "Content-Security-Policy"]
    parts = dict(part.strip().split(" ", 1) for part in policy.split(";"))
    assert parts["default-src"] == "'none'"
    assert set(parts) == {"default-src", "style-src", "script-src", "base-uri", "form-action"}
    for tag in ("style", "script"):
        (inline,) = re.findall(rf"<{tag}>(.*?)</{tag}>", text, re.S)
        digest = base64.b64encode(hashlib.sha256(inline.encode()).digest()).decode()
        assert parts[f"{tag}-src"] == f"'sha256-{digest}'"
        assert "url(" not in inline and "import" not in inline and "fetch" not in inline


@pytest.mark.parametrize(
    ("name", "spot", "metres"),
    [("pellaway_sound", "railway-groyne", 0.3048), ("skerrow_strand", "long-ledge", 1.0)],
)
def test_embedded_steps_are_the_water_of_those_minutes(forecast, name, spot, metres):
    made = forecast(name, spots=[spot])
    read = Reader(page(made))
    report = made.spots[0]
    lag = report.spot.slack_lag
    for attrs, day in zip(read.of("div", "reader"), report.days, strict=True):
        levels, moves = numbers(attrs["data-levels"]), numbers(attrs["data-moves"])
        t = float(attrs["data-start"]) + 300.0 * np.arange(len(levels))
        assert t[0] == day.start and t[-1] == day.end
        true = tides.levels(report.spot.station, t) / metres
        assert np.abs(levels / 100.0 - true).max() <= 0.005 + 1e-6
        fall = -tides.rates(report.spot.station, t - lag) * 3600.0 / metres
        assert np.abs(moves / 100.0 - fall).max() <= 0.005 + 1e-6
        inside = np.searchsorted(report.curve.t, t)
        assert np.abs(numbers(attrs["data-points"]) - report.curve.total[inside]).max() <= 0.5
        assert attrs["data-unit"] == ("ft" if metres < 1.0 else "m")


def test_a_spot_with_a_speed_reads_in_knots(forecast):
    made = forecast("pellaway_sound", spots=["marsh-drain"])
    report = made.spots[0]
    attrs = Reader(page(made)).of("div", "reader")[0]
    moves = numbers(attrs["data-moves"])
    t = float(attrs["data-start"]) + 300.0 * np.arange(len(moves))
    knots = report.flow.outgoing(t) * 3600.0 / 1852.0
    assert np.abs(moves / 10.0 - knots).max() <= 0.05 + 1e-6
    assert attrs["data-move-unit"] == "kn"
    assert " kn, " in attrs["aria-valuetext"]


@pytest.mark.parametrize(
    ("first", "zone", "place", "names"),
    [
        ("2027-03-14", "America/Chicago", (29.3, -90.1), ["CST", "CDT"]),
        ("2026-11-01", "America/Chicago", (29.3, -90.1), ["CDT", "CST"]),
        ("2026-04-05", "Australia/Lord_Howe", (-31.5, 159.1), ["UTC+11:00", "UTC+10:30"]),
        ("2026-04-23", "Africa/Cairo", (31.2, 29.9), [""]),  # its 24:00 is called 01:00
        ("2026-08-10", "Asia/Kathmandu", (27.7, 85.3), [""]),
    ],
)
def test_clocks_of_a_day_are_the_local_ones_and_named_where_there_are_two(coast, first, zone, place, names):
    made = coast(first, 1, zone=zone, latitude=place[0], longitude=place[1])
    attrs = Reader(page(made)).of("div", "reader")[0]
    kept = [part.split("|") for part in attrs["data-clocks"].split()]
    assert [name for _, _, name in kept] == names
    last = int(attrs["aria-valuemax"])
    for step in range(last):
        east = [int(minutes) for start, minutes, _ in kept if int(start) <= step][-1]
        t = float(attrs["data-start"]) + 300.0 * step
        local = dt.datetime.fromtimestamp(t, ZoneInfo(zone))
        assert local.utcoffset() == dt.timedelta(minutes=east)
    assert attrs["data-ends"].startswith("24:00")
    assert float(attrs["data-start"]) + 300.0 * last == made.spots[0].days[0].end


def test_water_that_stands_is_neither_going_nor_coming(coast):
    made = coast("2026-08-12", 1)
    (report,) = made.spots
    for metres_an_hour, flow in (
        (0.0, "standing"),
        (0.004, "standing"),
        (-0.004, "standing"),
        (0.006, "going out 0.01 m/h"),
        (-0.006, "coming in 0.01 m/h"),
    ):
        moving = np.full(len(report.curve.t), metres_an_hour / 3600.0)
        still = replace(report, curve=replace(report.curve, outgoing=moving))
        (attrs,) = Reader(page(replace(made, spots=(still,)))).of("div", "reader")
        assert f" m, {flow}, " in attrs["aria-valuetext"]


@pytest.mark.parametrize(("first", "spot"), [("2026-08-10", "long-ledge"), ("2027-03-25", "narrows-rocks")])
def test_a_session_points_its_button_at_its_peak(forecast, first, spot):
    made = forecast("skerrow_strand", first, spots=[spot])
    read = Reader(page(made))
    starts = {
        f["id"]: float(r["data-start"])
        for f, r in zip(read.of("figure"), read.of("div", "reader"), strict=True)
    }
    peaks = {starts[a["data-chart"]] + 300.0 * int(a["data-step"]) for a in read.of("button", "go")}
    assert peaks == {item.session.peak for item in made.ranking}
    lasts = {
        f["id"]: int(r["aria-valuemax"])
        for f, r in zip(read.of("figure"), read.of("div", "reader"), strict=True)
    }
    end = made.spots[0].days[-1].end
    for a in read.of("button", "go"):
        peak = starts[a["data-chart"]] + 300.0 * int(a["data-step"])
        assert 0 <= int(a["data-step"]) <= lasts[a["data-chart"]] or peak >= end


def test_hostile_names_are_plain_text(coast, hostile):
    made = coast("2026-08-01", 2, names=hostile, title=hostile["script"])
    text = page(made, source="/home/someone/<b>coast</b>.toml")
    read = Reader(text)
    tame = Reader(page(coast("2026-08-01", 2, names=dict.fromkeys(hostile, "Post"), title="Bay")))
    tags, tame_tags = (Counter(tag for tag, _ in item.elements if tag != "g") for item in (read, tame))
    assert tags == tame_tags  # words on one side of their places share a group
    assert "alert(1)" not in "".join(data for path, _, data in read.pieces if "script" in path)
    names = {data for path, _, data in read.pieces if path[-1:] == ("bdi",)}
    assert hostile["script"] in names
    assert hostile["formula"] in names
    assert hostile["emoji"] in names
    assert hostile["long"].strip() in names
    assert any(name.startswith("\u05de\u05d6\u05d7") for name in names)
    assert "\u202e" not in text
    labels = [a["aria-label"] for a in read.of("div", "reader")]
    assert any(hostile["formula"] in label for label in labels)


def test_spots_side_by_side_show_each_best_and_frame_the_days_best(forecast):
    made = forecast("pellaway_sound")
    text = page(made)
    table = text[text.index('<table class="beside">') :]
    rows = re.findall(r"<tr><th [^>]*><bdi>(.*?)</bdi></th></tr>\s*<tr>(.*?)</tr>", table)
    assert [name for name, _ in rows] == [report.spot.name for report in made.spots]
    for (_, cells), report in zip(rows, made.spots, strict=True):
        shown = re.findall(r"<td( class=\"top\")?>(?:<a [^>]*>(\d+)</a>|<span)", cells)
        assert len(shown) == 7
        for (top, points), day in zip(shown, report.days, strict=True):
            assert points == ("" if day.best is None else f"{day.best.session.points.total:.0f}")
            like = [r for r in made.spots if r.flow.has_speed is report.flow.has_speed]
            rivals = [r.days[report.days.index(day)].best for r in like]
            most = max((b.session.points.total for b in rivals if b is not None), default=-1.0)
            mine = day.best.session.points.total if day.best is not None else -2.0
            assert bool(top) == (mine == most)


def test_polar_days_and_skipped_dates_make_pages(coast):
    polar = {"zone": "Arctic/Longyearbyen", "latitude": 78.2, "longitude": 15.6}
    for first in ("2026-06-21", "2026-12-21"):
        read = Reader(page(coast(first, 2, **polar)))
        assert len(read.of("div", "reader")) == 2
        assert "sun rise" not in read.shown and "sun set" not in read.shown
    apia = Reader(page(coast("2011-12-29", 3, zone="Pacific/Apia", latitude=-13.8, longitude=-171.8)))
    assert len(apia.of("figure", "chart")) == 3 and len(apia.of("div", "reader")) == 2


def test_the_same_forecast_makes_the_same_page(forecast):
    made = forecast("korimako_reach")
    assert page(made, "a.toml") == page(made, "a.toml")
