"""Days out where a gauge has a record: the chance of each stretch, and the record's bad tenth."""

import html
import json
import re
from datetime import date
from itertools import groupby

import numpy as np
import pytest

from harmonics.records.places import levels_at
from tests.cli.records.coast import NOW, WAVES, forecast_weather, gauge, rows
from tests.cli.runs import REPOSITORY, run
from windows.conditions.assembly import STEP
from windows.conditions.cases import Water
from windows.conditions.knowledge import outlook_of
from windows.conditions.record_cases import thinned
from windows.forecast.edges import LEAST_FLOW_FACTOR
from windows.outing.making import make_plans
from windows.outing.reports import LegKind, Spent
from windows.shoreline.shore import read_shore

FIRST = date(2026, 8, 10)
LATER = [("M2", 0.5, 200.0), *WAVES[1:]]
"""Its greatest tide comes three hours after the first gauge's."""
SPAN = ("--start", FIRST.isoformat(), "--days", "6")
RAMP = """
[[landings]]
id = "ramp"
name = "Ramp"
latitude = 50.12
longitude = -5.22
launch = 10
{water}
[outing]
leave_after = "05:00"
home_by = "22:00"
"""
SHALLOW = RAMP.format(water="least_level = 1.75\n")
DRIES = "least_level = 1.9\n"
FREE = RAMP.format(water="")


def told(path, *more):
    found = run("plan", path, *SPAN, *more, now=NOW)
    assert found.code == 0, found.err
    return found.out


def plain(text):
    """Words alone, without a page's or a calendar's marks."""
    text = re.sub(r"\r?\n (?=\S)|\\(?=[,;])", "", text)
    return " ".join(html.unescape(text).split())


def cell_of(chance):
    share = round(100 * float(chance))
    return "> 99 %" if share == 100 else f"{share} %"


def as_json(path):
    return json.loads(told(path, "--format", "json"))


def plans_of(path):
    shore = read_shore(path)
    outlook = outlook_of(shore, [spot.station for spot in shore.spots], NOW, None, None)
    return make_plans(shore, shore.spots, FIRST, 6, outlook)


def launches(plan):
    """When the landing has to have its water."""
    for leg in plan.legs:
        if leg.kind in {LegKind.LEAVE, LegKind.LAND}:
            used = sum(seconds for what, seconds in leg.spent if what is Spent.LAUNCH)
            yield (leg.end - used, leg.end) if leg.kind is LegKind.LEAVE else (leg.start, leg.start + used)


class TestChance:
    def test_each_stretch_has_the_share_of_cases_in_which_it_came(self, shore):
        plans = plans_of(shore(weather=False, spot=DRIES, fishing=FREE))
        report = plans.forecast.spots[0]
        curve, conditions = report.curve, report.conditions
        water = Water(float(curve.t[0]), STEP, curve.level, curve.departure, curve.outgoing)
        worth = [conditions.in_case(curve, *case)[1] for case in conditions.cases.of(water)]
        seen = set()
        for plan in plans.lists[0].ranking:
            for leg in plan.legs:
                if leg.kind is not LegKind.FISH:
                    assert leg.chance is None
                    continue
                inside = (curve.t >= leg.start) & (curve.t <= leg.end)
                means = [
                    np.trapezoid(case[inside], curve.t[inside]) / (leg.end - leg.start) for case in worth
                ]
                assert leg.chance == pytest.approx(np.mean(np.array(means) >= LEAST_FLOW_FACTOR))
                seen.add(leg.chance)
        assert len(seen) > 1

    def test_it_stands_in_every_format(self, shore):
        path = shore(weather=False, spot=DRIES, fishing=FREE)
        found = rows(told(path, "--format", "csv"))
        assert {row["chance"] != "" for row in found if row["kind"] == "fish"} == {True}
        assert {row["chance"] for row in found if row["kind"] != "fish"} == {""}
        listed = as_json(path)["rows"]
        assert [row["chance"] for row in listed] == [
            float(row["chance"]) if row["chance"] else None for row in found
        ]
        best = next(row for row in found if row["kind"] == "fish")
        cell = cell_of(best["chance"])
        for form in ("table", "page", "ics"):
            assert f"points on average, chance {cell}, best at" in plain(told(path, "--format", form))
        for form in ("text", "table", "page", "ics", "svg"):
            assert f" (chance {cell})" in plain(
                re.sub("</text><text[^>]*>", " ", told(path, "--format", form))
            )
        fished = [row for row in found if row["kind"] == "fish"]
        assert len({row["chance"] for row in fished}) > 1
        text = run("plan", path, *SPAN, now=NOW, columns="200").out
        for _, group in groupby(fished, key=lambda row: row["plan_rank"]):
            stops = list(group)
            cells = ", ".join(cell_of(row["chance"]) for row in stops)
            hours = "-".join(stops[-1][f"{end}_local"][11:16] for end in ("start", "end"))
            assert re.search(rf"{hours} +{cells} ", text)

    def test_without_a_record_one_line_says_what_would_tell(self, shore):
        path = shore(record=False, weather=False, fishing=FREE)
        text = " ".join(told(path).split())
        line = "How often such water comes is not known: two months or more of the gauge's observed levels"
        assert text.count(line) == 1
        assert "chance" not in text
        assert "bad tenth" not in text
        assert line in told(path, "--format", "page").replace("&#39;", "'")
        assert {row["chance"] for row in rows(told(path, "--format", "csv"))} == {""}
        (listed,) = as_json(path)["lists"]
        assert {item["at_bad_tenth"] for item in listed["plans"]} == {None}
        assert "is not known" not in told(shore(weather=False, fishing=FREE))

    def test_a_gauge_without_one_beside_one_with_one_is_named(self, shore):
        path = two_gauges(shore)
        assert "How often such water comes at Far pier is not known" in " ".join(told(path).split())


def two_gauges(shore, station_of_landing=""):
    """The made shore with a second gauge that has no record, and a spot by it."""
    path = shore(weather=False, fishing=RAMP.format(water=station_of_landing))
    text = path.read_text()
    station = text[text.index("[[stations]]") : text.index("record =")]
    spot = text[text.index("[[spots]]") : text.index("[[landings]]")]
    station = station.replace('"pier"', '"far"').replace('"Pier"', '"Far pier"').replace("110.0", "200.0")
    spot = spot.replace('"ledge"', '"far-ledge"').replace('"pier"', '"far"')
    path.write_text(text + station + spot)
    return path


class TestBadTenth:
    def test_of_cases_that_were_seen_it_is_the_level_that_another_reaches_nine_times_in_ten(self, shore):
        plans = plans_of(shore(weather=False, fishing=FREE))
        report, plan = plans.forecast.spots[0], plans.lists[0].ranking[0]
        curve, conditions = report.curve, report.conditions
        water = Water(float(curve.t[0]), STEP, curve.level, curve.departure, curve.outgoing)
        (leg,) = plan.stops
        inside = (curve.t >= leg.start) & (curve.t <= leg.end)
        worths = [
            np.trapezoid(conditions.in_case(curve, *case)[0].sum(axis=0)[inside], dx=STEP / 3600.0)
            for case in conditions.cases.of(water)
        ]
        assert plan.range == pytest.approx(np.quantile(worths, (0.1, 0.9), method="weibull"))
        assert plan.bad_tenth.worth == plan.range[0]

    def test_it_is_the_worth_that_nine_of_ten_cases_reach(self, shore):
        path = shore(weather=False, fishing=FREE)
        for plan in as_json(path)["lists"][0]["plans"]:
            assert plan["at_bad_tenth"] == {"worth": plan["worth_low"], "shut": []}
        best = as_json(path)["lists"][0]["plans"][0]
        for form in ("table", "page", "ics"):
            said = re.search(
                r"30 min late: .*; at the record's bad tenth: (\d+) point",
                plain(told(path, "--format", form)),
            )
            assert int(said[1]) == round(best["worth_low"])

    def test_a_landing_that_shuts_in_some_cases_is_told_by_their_share(self, shore):
        path = shore(weather=False, fishing=SHALLOW)
        plans = plans_of(path)
        report, sill = plans.forecast.spots[0], plans.landing.sill
        cases, t = report.conditions.cases, report.curve.t
        shares = set()
        for plan in plans.lists[0].ranking:
            shut = np.zeros(min(map(len, cases.blocks)), dtype=bool)
            for start, end in launches(plan):
                block = cases.blocks[int(np.searchsorted(cases.edges[1:-1], start, side="right"))]
                count = round((end - start) / STEP) + 1
                away = levels_at(thinned(block, len(shut)), sill.station, start, STEP, count)
                predicted = plans.water.level[np.searchsorted(t, start) :][:count]
                shut |= ((predicted + away) < sill.least_level).any(axis=1)
            found = {item.place.id: item.share for item in plan.bad_tenth.shut}
            assert found.get("ramp", 0.0) == pytest.approx(shut.mean())
            shares.add(shut.mean())
        assert max(shares) > 0.1
        text = " ".join(told_best(path).split())
        assert re.search(r"bad tenth: \d+ point-hours, but Ramp is shut in \d+ of 100 cases", text)
        assert re.search(r"Best day out: .* Ramp, or the way there, is shut in \d+ of 100 cases\.", text)

    def test_a_spot_that_the_level_shuts_is_told_too(self, shore):
        path = shore(weather=False, spot=DRIES, fishing=FREE)
        found = {
            item["place"]: item["share"]
            for plan in as_json(path)["lists"][0]["plans"]
            for item in plan["at_bad_tenth"]["shut"]
        }
        assert set(found) == {"ledge"}
        assert 0.1 < found["ledge"] <= 1.0

    def test_a_landing_that_has_its_water_from_the_gauge_by_differences(self, shore):
        same = 'reference = "pier"\nhigh_water = { minutes = 0, factor = 1.0 }\n'
        same += "low_water = { minutes = 0, factor = 1.0 }\n"
        creek = f'\n[[stations]]\nid = "creek"\nname = "Creek"\n{same}'
        shares = []
        for water in ('station = "pier"\nleast_level = 1.75\n', 'station = "creek"\nleast_level = 1.75\n'):
            path = shore(weather=False, fishing=RAMP.format(water=water) + creek)
            plans = as_json(path)["lists"][0]["plans"]
            shares.append([item["share"] for plan in plans for item in plan["at_bad_tenth"]["shut"]])
        assert max(shares[0]) > 0.1
        assert shares[1] == pytest.approx(shares[0], abs=0.05)

    def test_a_way_that_shuts_is_told_by_the_place_it_leads_to(self, shore):
        way = '\n[[ways]]\nfrom = "ramp"\nto = "ledge"\nminutes = 30\nleast_level = 1.8\n'
        path = shore(weather=False, fishing=FREE + way)
        shut = [i for plan in as_json(path)["lists"][0]["plans"] for i in plan["at_bad_tenth"]["shut"]]
        assert {item["place"] for item in shut} <= {"ledge", "ramp"}
        assert max(item["share"] for item in shut if item["place"] == "ramp") > 0.1

    def test_a_landing_by_another_gauge_is_left_out(self, shore):
        water = 'station = "far"\nleast_level = 1.75\n'
        path = two_gauges(shore, water)
        for plan in as_json(path)["lists"][0]["plans"]:
            assert plan["at_bad_tenth"] is None or "ramp" not in str(plan["at_bad_tenth"]["shut"])

    def test_cases_of_two_gauges_have_no_common_range(self, shore, tmp_path):
        path = two_gauges(shore)
        gauge(tmp_path, name="far.csv", waves=LATER)
        record = 'record = { file = "far.csv", zone = "UTC", units = "metres" }\n'
        text = path.read_text().replace('name = "Far pier"\n', f'name = "Far pier"\n{record}')
        path.write_text(text.replace('"22:00"', '"22:00"\nlongest = "16h"'))
        ranking = plans_of(path).lists[0].ranking
        assert {spots_of(plan) for plan in ranking} == {2}
        assert all(plan.range is None and plan.bad_tenth is None for plan in ranking)
        assert all(leg.chance is not None for plan in ranking for leg in plan.stops)


def spots_of(plan):
    return len({leg.place.id for leg in plan.stops})


def told_best(path):
    """The timetable of a day whose landing is at risk."""
    for plan in as_json(path)["lists"][0]["plans"]:
        if any(item["share"] >= 0.1 for item in plan["at_bad_tenth"]["shut"]):
            found = run("plan", path, "--day", plan["day"], now=NOW)
            return found.out
    raise AssertionError("no landing at risk")


class TestWeather:
    def test_the_landing_s_level_answers_to_it(self, shore, tmp_path):
        path = shore(record=False, weather=False, fishing=SHALLOW)
        plain = plans_of(path)
        path = shore(record=False, weather=True, fishing=SHALLOW)
        moved = plans_of(path)
        t = plain.water.t
        known = (t >= NOW) & (t < NOW + 86400.0)
        rise = (moved.water.level - plain.water.level)[known]
        assert rise == pytest.approx(0.1, abs=0.002)  # 10 hPa below the mean, a centimetre each
        assert (moved.water.level - plain.water.level)[-1] == pytest.approx(0.0, abs=0.01)

    def test_a_bank_bares_by_it(self, shore, tmp_path):
        bank = '\n[[banks]]\nid = "flat"\nname = "Mud flat"\nstation = "pier"\nbare_below = 1.6\n'
        widths = []
        for pressure in (1033.25, 973.25):
            path = shore(record=False, spot='bank = "flat"\n', fishing=bank)
            forecast_weather(tmp_path)
            table = tmp_path / "weather.csv"
            table.write_text(table.read_text().replace("1003.25", f"{pressure}"))
            span = ("--start", "2026-08-10", "--days", "3", "--format", "csv")
            found = rows(run("week", path, *span, now=NOW).out)
            row = next(item for item in found if item["bait_start_utc"])
            widths.append(np.datetime64(row["bait_end_utc"][:-1]) - np.datetime64(row["bait_start_utc"][:-1]))
        assert widths[0] > widths[1]

    def test_the_page_says_what_is_known(self, shore):
        text = told(shore(fishing=FREE), "--format", "page")
        assert "a record of 110 days gives chance and ranges" in text
        assert "Wind and waves from the file made Mon 10 Aug 07:00" in text
        assert "Tide, and weather from the file made" in text


def test_the_demo_with_a_record_can_be_planned():
    demo = REPOSITORY / "demo_stations" / "recorded" / "brindle_lagoon.toml"
    asked = ("--start", "2026-08-10", "--days", "7")
    found = rows(run("plan", demo, *asked, "--format", "csv", now=NOW).out)
    fished = [row for row in found if row["kind"] == "fish"]
    assert len(fished) >= 5
    assert all(0.0 <= float(row["chance"]) <= 1.0 for row in fished)
    assert "at the record's bad tenth" in " ".join(run("plan", demo, *asked, now=NOW).out.split())
