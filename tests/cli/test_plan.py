"""`plan` end to end: the contract of its rows, what stands beside the plans, every format, wrong input."""

import csv
import io
import json
import re
import shutil
from datetime import UTC, date, datetime
from functools import cache
from itertools import groupby, pairwise
from xml.etree import ElementTree

import pytest
import vobject

from tests.cli import runs
from tests.cli.runs import DEMOS, REPOSITORY, refused, run
from tests.windows.outing.shores import boat, coast, landing, outing, way
from windows.render.words import cautions

BOAT = REPOSITORY / "demo_stations" / "korimako_reach.toml"
FOOT = REPOSITORY / "demo_stations" / "skerrow_strand.toml"
START = ("--start", "2026-08-10", "--days", "7")
CONTRACT = (
    "plan_rank,day,leg,kind,place,start_utc,end_utc,start_local,end_local,worth,level_m,depth_m,speed_kn,note,"
    "chance"
)
KINDS = {"leave", "gather", "travel", "fish", "land", "home"}
LONGEST_MESSAGE = 500

# Every run is made once; what it gives is read by several tests and changed by none.
done = cache(runs.done)
rows = cache(runs.rows)
document = cache(runs.document)


def t(text: str) -> datetime:
    return datetime.fromisoformat(text.replace("Z", "+00:00"))


def by_plan(found):
    return [list(legs) for _, legs in groupby(found, key=lambda row: row["plan_rank"])]


@pytest.fixture(params=DEMOS, ids=lambda demo: demo.stem)
def demo(request):
    return request.param


@pytest.fixture
def file(tmp_path):
    """A file of plain cosines from its parts."""

    def write(*parts: str):
        path = tmp_path / "shore.toml"
        path.write_text(coast(*parts), encoding="utf-8")
        return path

    return write


class TestRows:
    def test_the_columns_are_the_contract(self, demo):
        text = done("plan", demo, *START, "--format", "csv")
        assert text.splitlines()[0] == CONTRACT
        assert len(text.splitlines()) > 10

    def test_legs_touch_and_are_numbered(self, demo):
        plans = by_plan(rows("plan", demo, *START))
        assert [plan[0]["plan_rank"] for plan in plans] == [str(n + 1) for n in range(len(plans))]
        for plan in plans:
            assert [row["leg"] for row in plan] == [str(n + 1) for n in range(len(plan))]
            assert all(one["end_utc"] == other["start_utc"] for one, other in pairwise(plan))
            kinds = [row["kind"] for row in plan]
            assert set(kinds) <= KINDS
            assert (kinds[0], *kinds[-2:]) == ("leave", "land", "home")
            assert "fish" in kinds
            assert plan[-1]["place"] == "home"
            for row in plan:
                assert t(row["start_utc"]) == t(row["start_local"])
                assert t(row["end_local"]) >= t(row["start_local"])
                assert row["start_local"][:10] >= row["day"]

    def test_worth_falls_with_rank_within_a_list(self, demo):
        header = document("plan", demo, *START)
        assert sum(len(item["plans"]) for item in header["lists"]) > 4
        found = by_plan(header["rows"])
        for item in header["lists"]:
            worths = [plan["worth"] for plan in item["plans"]]
            assert worths == sorted(worths, reverse=True)
            assert [plan["rank_in_list"] for plan in item["plans"]] == list(range(1, len(worths) + 1))
            for plan in item["plans"]:
                legs = next(legs for legs in found if legs[0]["plan_rank"] == plan["plan_rank"])
                assert sum(leg["worth"] for leg in legs) == pytest.approx(plan["worth"])
                assert plan["worth"] >= plan["single_stop"]["worth"] - 1e-6
                assert plan["worth"] == pytest.approx(plan["worth_with_at_most_moves"][-1])
                stops = {leg["place"] for leg in legs if leg["kind"] == "fish"}
                assert stops <= set(item["spots"])

    def test_every_day_has_a_plan_or_a_reason(self, demo):
        for item in document("plan", demo, *START, "--days", "20")["lists"]:
            days = [plan["day"] for plan in item["plans"]] + list(item["days_without_plan"])
            assert len(days) == len(set(days)) == 20
            for told in item["days_without_plan"].values():
                assert told["reason"] and told["words"]
                assert told["nearest_day"] in {plan["day"] for plan in item["plans"]} or not item["plans"]

    def test_speeds_and_depths_are_those_of_fishing(self):
        fished = [row for row in rows("plan", BOAT, *START) if row["kind"] == "fish"]
        knots = {row["place"]: row["speed_kn"] for row in fished}
        assert float(knots["heron-bridge"]) > 0.1
        assert knots["stone-steps"] == ""
        assert all(row["level_m"] for row in fished)
        assert all(float(row["depth_m"]) > 0 for row in fished if row["place"] == "basin-mouth")
        landed = [row for row in rows("plan", BOAT, *START) if row["kind"] in {"leave", "land"}]
        assert all(float(row["depth_m"]) >= 0.5 for row in landed)  # the boat's draft

    def test_one_day(self):
        header = document("plan", BOAT, "--day", "2026-08-21")
        assert header["days"] == 1
        assert {row["day"] for row in header["rows"]} == {"2026-08-21"}
        assert all(plan["next_best"] is not None for item in header["lists"] for plan in item["plans"])


class TestWishes:
    def test_home_by(self):
        for row in rows("plan", BOAT, *START, "--home-by", "18:00"):
            if row["kind"] == "home":
                assert t(row["end_local"]).strftime("%H:%M") <= "18:00"

    def test_more_time_never_lowers_the_worth(self):
        def worth(home_by):
            header = document("plan", BOAT, "--day", "2026-08-21", "--home-by", home_by)
            return max((p["worth"] for item in header["lists"] for p in item["plans"]), default=0.0)

        found = [worth(home_by) for home_by in ("17:00", "19:00", "21:00", "23:00")]
        assert found == sorted(found)
        assert found[0] < found[-1]

    def test_leave_after_and_a_night_out(self):
        found = rows(
            *("plan", BOAT, *START, "--leave-after", "20:00", "--home-by", "04:00 next day"),
        )
        assert found
        for row in found:
            if row["kind"] == "leave":
                assert t(row["start_local"]).strftime("%H:%M") >= "20:00"
            if row["kind"] == "home" and t(row["end_local"]).date() > date.fromisoformat(row["day"]):
                assert t(row["end_local"]).strftime("%H:%M") <= "04:00"

    def test_another_landing(self):
        found = rows("plan", FOOT, *START, "--from", "narrows-lay-by")
        assert {row["place"] for row in found if row["kind"] == "leave"} == {"narrows-lay-by"}

    def test_spots_named(self):
        found = rows("plan", FOOT, *START, "--spot", "long-ledge", "--spot", "mussel-shelf")
        assert {row["place"] for row in found if row["kind"] == "fish"} == {"long-ledge", "mussel-shelf"}

    def test_mixed(self):
        header = document("plan", BOAT, *START, "--mix")
        assert [item["group"] for item in header["lists"]] == ["mixed"]
        assert len(header["lists"][0]["spots"]) == 4
        apart = document("plan", BOAT, *START)
        assert [item["group"] for item in apart["lists"]] == ["speed", "fall"]
        best = max(plan["worth"] for item in apart["lists"] for plan in item["plans"])
        assert header["lists"][0]["plans"][0]["worth"] >= best - 1e-6
        assert "Mixed as asked" in done("plan", BOAT, *START, "--mix")

    def test_now_is_the_earliest(self):
        now = datetime(2026, 8, 21, 4, 2, tzinfo=UTC).timestamp()  # 16:02 at Korimako
        leaves = [row for row in rows("plan", BOAT, "--days", "1", now=now) if row["kind"] == "leave"]
        assert leaves
        assert all(t(row["start_utc"]).timestamp() >= now for row in leaves)


class TestTexts:
    def test_the_answer_comes_first_and_the_cautions_last(self, demo):
        text = done("plan", demo, *START)
        assert text.startswith(cautions.INVENTED)
        assert text.index("Best day out") < text.index("The plan of") < text.index("Cautions")
        assert text.rstrip().endswith(cautions.SHORT)
        assert "point-hours" in text
        assert max(map(len, text.splitlines())) <= 100

    def test_the_timetable_s_clocks_are_the_rows(self):
        text = done("plan", BOAT, "--day", "2026-08-21")
        for row in rows("plan", BOAT, "--day", "2026-08-21"):
            start, end = (t(row[key]).strftime("%H:%M") for key in ("start_local", "end_local"))
            if start != end:
                assert re.search(rf"^{start}  {end}  ", text, flags=re.MULTILINE)

    def test_what_stands_beside_a_plan(self):
        text = " ".join(done("plan", BOAT, "--day", "2026-08-21").split())
        for said in (
            "One stop alone",
            "the first move adds",
            "30 min early",
            "30 min late",
            "Back at Beacon ramp",
            "to spare",
            "Next best:",
            "Assumed, as straight lines",
            "Dark ",
        ):
            assert said in text
        assert "No move gains anything" in done("plan", FOOT, *START)

    @pytest.mark.parametrize("columns", ["40", "72", "200"])
    def test_any_width(self, columns):
        assert "The plan of" in done("plan", BOAT, *START, columns=columns)

    def test_a_message_fits_a_phone(self, demo):
        text = done("plan", demo, *START, "--format", "text")
        assert len(text) < LONGEST_MESSAGE
        assert text.startswith(cautions.INVENTED)
        assert text.endswith(cautions.SHORT)
        assert re.search(r"leave \d\d:\d\d", text)

    def test_check_says_what_the_file_means_for_days_out(self):
        text = " ".join(done("check", BOAT).split())
        assert "By boat, 12 kn, draft 0.50 m" in text
        assert "from a level of 0.40 m" in text  # 0.5 m of draft over 0.1 m at datum
        assert "Out from beacon-ramp after 12:00, home by 23:30" in text
        assert "On foot" in done("check", FOOT)


class TestOtherFormats:
    def test_calendar_entries_for_leaving_and_landing(self, demo):
        found = vobject.readOne(done("plan", demo, *START, "--format", "ics"))
        events = [event for event in found.vevent_list if "Bait at " not in event.summary.value]
        legs = by_plan(rows("plan", demo, *START))
        lists = document("plan", demo, *START)["lists"]
        firsts = {item["plans"][0]["plan_rank"] for item in lists if item["plans"]}
        assert len(events) == 2 * len(firsts)
        starts = {
            t(row["start_utc"])
            for plan in legs
            if int(plan[0]["plan_rank"]) in firsts
            for row in plan
            if row["kind"] in {"leave", "land"}
        }
        assert {event.dtstart.value for event in events} == starts
        assert len({event.uid.value for event in events}) == len(events)
        for event in events:
            assert event.dtend.value > event.dtstart.value
            assert event.summary.value.startswith(cautions.INVENTED)
            assert cautions.SHORT in event.description.value
            assert event.valarm.trigger.value.total_seconds() < 0

    def test_a_new_file_takes_the_old_entries_place(self):
        def uids(now):
            text = done("plan", BOAT, "--day", "2026-08-21", "--format", "ics", now=now)
            return {event.uid.value for event in vobject.readOne(text).vevent_list}

        assert uids(0.0) == uids(86400.0)

    def test_the_strip_is_well_formed_and_names_what_it_shows(self, demo):
        text = done("plan", demo, *START, "--format", "svg")
        root = ElementTree.fromstring(text)
        words = " ".join(element.text or "" for element in root.iter() if element.tag.endswith("text"))
        assert cautions.INVENTED in words
        for item in document("plan", demo, *START)["lists"]:
            for plan in item["plans"][:1]:
                assert t(plan["leave"]).strftime("%H:%M") in words
                assert t(plan["single_stop"]["fish_from"]).strftime("%H") in words
        assert cautions.SHORT.split(";")[0] in words

    def test_a_picture(self, tmp_path):
        pytest.importorskip("resvg_py")
        path = tmp_path / "plan.png"
        assert run("plan", BOAT, *START, "--format", "png", "-o", path).code == 0
        assert path.read_bytes().startswith(b"\x89PNG")

    def test_a_folder_of_files(self, tmp_path):
        folder, out = tmp_path / "shores", tmp_path / "plans"
        shutil.copytree(REPOSITORY / "demo_stations", folder)
        assert run("plan", folder, *START, "--format", "json", "-o", out).code == 0
        for demo in DEMOS:
            made = json.loads((out / f"{demo.stem}.json").read_text(encoding="utf-8"))
            assert made["lists"]

    def test_no_plan_at_all_is_an_answer_in_every_format(self, file):
        path = file(landing("park"), outing("keep = 2400"))
        for form in ("table", "csv", "json", "page", "svg", "ics", "text"):
            text = done("plan", path, *START, "--format", form)
            if form == "csv":
                assert list(csv.DictReader(io.StringIO(text))) == []
                assert text.strip() == CONTRACT
            if form in {"table", "page", "svg", "text"}:
                assert "worth going in these days" in text


class TestWrongInput:
    @pytest.mark.parametrize(
        ("parts", "told"),
        [
            ((landing(), way("ramp", "reef")), "ways[0].to: found 'reef'"),
            ((landing(), outing("settle = -5")), "outing.settle: found -5; expected minutes from 0 to 720"),
            (
                (landing(keys="least_level = 4.5"), boat()),
                "landings[0]: found no water that it can be used at",
            ),
            (
                (landing(), outing('leave_after = "14:00"\nhome_by = "12:00"')),
                "outing.home_by: found '12:00', before leaving after '14:00'",
            ),
            (
                (landing(), outing('bait = "needed"')),
                "outing.bait: found 'needed' in a file",
            ),
            ((), "no [[landings]]"),
        ],
    )
    def test_a_file_that_makes_no_sense(self, file, parts, told):
        assert told in refused(1, "plan", file(*parts), *START)

    def test_home_before_leaving(self):
        text = refused(1, "plan", BOAT, *START, "--home-by", "11:00")
        assert "home by '11:00' comes before leaving after '12:00'" in text

    def test_one_leaves_on_the_day_itself(self):
        options = ("--leave-after", "02:00 next day", "--home-by", "20:00 next day")
        text = refused(1, "plan", BOAT, *START, *options)
        assert "leave after '02:00 next day'; expected a time of the day one leaves on" in text

    def test_names_that_are_not_there(self):
        assert "no spot 'reef'" in refused(1, "plan", BOAT, *START, "--spot", "reef")
        assert "no landing 'quay'" in refused(1, "plan", BOAT, *START, "--from", "quay")

    @pytest.mark.parametrize(
        "options",
        [
            ("--home-by", "late"),
            ("--leave-after", "25:00"),
            ("--day", "2026-02-30"),
            ("--day", "2026-08-21", "--days", "3"),
            ("--day", "2026-08-21", "--start", "2026-08-10"),
        ],
    )
    def test_wrong_usage(self, options):
        refused(2, "plan", BOAT, *options)

    def test_days_beyond_the_sky(self):
        assert "no forecast of windows there" in refused(1, "plan", BOAT, "--start", "2053-12-01")
