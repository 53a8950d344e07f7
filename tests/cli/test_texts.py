"""What people read: the notice, the cautions, the place and the clock, whatever the terminal's width."""

import itertools
import re

import pytest

from tests.cli.runs import done, rows, utc
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, published_station, simple, written
from tests.conftest import published_rows
from windows.guide import TOPICS, page

NOTICE = "INVENTED COAST, never use on the water"
SHORT = "Not for navigation; weather moves the water; wear a lifejacket; check local rules."
UNSEEN = "wind and waves are not considered"
FULL = (
    "Not for navigation. Astronomical prediction only",
    "at thunder leave the water and wait 30 minutes after the last",
    "Wear a lifejacket",
    "rising water behind you",
    "Licences, seasons, sizes, bag limits and bait rules are local: check them",
)
PLANS = ("week", "best", "compare")
COMMANDS = (*PLANS, "tides", "levels", "sky", "check")
NAMES = (
    "[red]Pier[/red]",
    "[link=https://example.com]x[/link]",
    ":anchor: rock",
    "Łódź £5 café",
    "岸壁の端",
    "רציף הים",
    "مرسى الصيد",
    "🎣 jetty",
    "=1+1",
)


def asked(command: str) -> tuple[str, ...]:
    return () if command == "check" else ("--start", "2026-08-10", "--days", "3")


def invented(folder, **names):
    text = head("Europe/London", more="invented = true") + SIMPLE_STATION + SIMPLE_SPOT
    for old, new in names.items():
        text = text.replace({"title": "A shore", "pier": '"Pier"', "ledge": "Spot ledge"}[old], new)
    return written(folder, text)


@pytest.mark.parametrize("command", COMMANDS)
class TestEveryText:
    def test_notice_first_and_cautions_last(self, tmp_path, command):
        text = done(command, invented(tmp_path), *asked(command))
        assert text.startswith(f"{NOTICE}\n")
        assert text.endswith(f"{SHORT}\n")

    def test_no_notice_on_a_real_coast(self, tmp_path, command):
        text = done(command, simple(tmp_path), *asked(command))
        assert "INVENTED" not in text
        assert text.endswith(f"{SHORT}\n")

    def test_title_clock_and_plain_text(self, tmp_path, command):
        text = done(command, simple(tmp_path), *asked(command))
        assert text.startswith("A shore")
        assert "Europe/London" in text
        assert re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]", text) is None
        assert all(line == line.rstrip() for line in text.splitlines())

    @pytest.mark.parametrize("columns", ["1", "40", "60", "80"])
    def test_nothing_is_lost_on_a_narrow_terminal(self, tmp_path, command, columns):
        path = simple(tmp_path)
        wide = done(command, path, *asked(command), columns="400")
        narrow = done(command, path, *asked(command), columns=columns)

        def words(text):
            return {word.strip(":;,") for word in text.split()}

        assert not {word for word in words(wide) - words(narrow) if set(word) != {"─"}}

    @pytest.mark.parametrize("columns", ["", "0", "-5", "wide", "100000"])
    def test_any_setting_of_the_width(self, tmp_path, command, columns):
        assert SHORT in done(command, simple(tmp_path), *asked(command), columns=columns)

    @pytest.mark.parametrize(("name", "columns"), [(NAMES[0], "100"), *((name, "40") for name in NAMES)])
    def test_names_are_shown_as_they_are(self, tmp_path, command, name, columns):
        path = invented(tmp_path, title=name, pier=f'"{name}"', ledge=name)
        text = done(command, path, *asked(command), columns=columns)
        assert text.splitlines()[1].startswith(name.split()[0])
        assert " ".join(text.split()).count(name) >= (1 if command == "best" else 2)


@pytest.mark.parametrize("command", PLANS)
class TestPlans:
    def test_full_cautions_evidence_and_what_is_not_considered(self, tmp_path, command):
        text = " ".join(done(command, simple(tmp_path), *asked(command)).split())
        for caution in FULL:
            assert caution in text
        assert UNSEEN in text
        assert "Solunar periods are a tradition" in text

    def test_full_cautions_without_a_window_too(self, tmp_path, command):
        text = " ".join(done(command, simple(tmp_path), *asked(command), "--hours", "3:00-3:10").split())
        for caution in FULL:
            assert caution in text

    def test_numbers_are_those_of_the_csv(self, tmp_path, command):
        path = simple(tmp_path)
        text = " ".join(done(command, path, *asked(command)).split())
        found = rows(command, path, *asked(command))
        assert found
        top = found[0]
        start, end = top["session_start_local"][11:16], top["session_end_local"][11:16]
        assert f"{start}-{end}" in text
        parts = [float(top[f"points{part}"]) for part in ("", "_flow", "_light", "_moon")]
        told = re.search(r"([\d.]+) points = flow ([\d.]+) \+ light ([\d.]+) \+ moon ([\d.]+)\.", text)
        assert told
        # Shares are rounded so that they add up to the total.
        assert [float(part) for part in told.groups()] == pytest.approx(parts, abs=0.1000001)
        levels = [float(top[f"level_{moment}_m"]) for moment in ("start", "peak", "end")]
        assert f"level {', '.join(f'{level:.2f}' for level in levels)} m" in text
        assert f"30 min early {float(top['points_if_30min_early']):.0f}, " in text
        assert f"30 min late {float(top['points_if_30min_late']):.0f}" in text
        mark = "sunset" if "sunset" in text else "sunrise"
        assert f"{mark} {minute(top[f'{mark}_local'])}" in text
        for word in (top["opens"], top["closes"], top["light"], top["flow_kind"]):
            assert word in text
        for note in filter(None, top["notes"].split("; ")):
            assert note in text


def minute(local: str) -> str:
    """A local time to the second as the clock shows it, to the nearest minute."""
    hours, minutes, seconds = (int(part) for part in local[11:19].split(":"))
    whole = hours * 60 + minutes + (seconds >= 30)
    return f"{whole // 60 % 24:02d}:{whole % 60:02d}"


def test_a_spot_without_a_lag_says_what_is_assumed(tmp_path):
    path = written(tmp_path, head("UTC"), SIMPLE_STATION, SIMPLE_SPOT.replace("slack_lag = 15", ""))
    for command in PLANS:
        text = " ".join(done(command, path, *asked(command)).split())
        assert "assumes the current turns with the tide; check at the spot" in text
    for row in rows("week", path, *asked("week")):
        assert "assumes the current turns with the tide" in row["notes"]
        for name in ("window_start_utc", "window_end_utc"):
            by_flow = row["opens" if name == "window_start_utc" else "closes"].startswith("the flow")
            assert not by_flow or utc(row[name]) % 600 == 0  # edges in ten minutes, no false precision


def test_tides_print_the_turns_of_the_csv(tmp_path):
    path = simple(tmp_path)
    text = done("tides", path, *asked("tides"))
    for row in rows("tides", path, *asked("tides")):
        kind = row["event"].split("_")[0]
        assert f"{kind} {minute(row['time_local'])} {float(row['height_m']):.2f}" in text


def test_feet_are_feet(tmp_path):
    text = head("Europe/London", "feet") + SIMPLE_STATION + SIMPLE_SPOT
    path = written(tmp_path, text)
    shown = done("tides", path, *asked("tides"))
    assert "heights in feet above Chart datum" in shown
    for row in rows("tides", path, *asked("tides")):
        assert f"{minute(row['time_local'])} {float(row['height_m']) / 0.3048:.1f}" in shown


def test_a_stand_is_told_and_left_out_of_the_table(tmp_path):
    # Around a turn of a slow tide a small wave of 4 h makes a pair of turns a few millimetres apart.
    waves = """constituents = [
    { name = "K1", amplitude = 0.30, phase = 0.0 },
    { name = "M6", amplitude = 0.02, phase = 0.0 },
]
"""
    path = written(tmp_path, head("UTC"), SIMPLE_STATION[: SIMPLE_STATION.index("constituents")], waves)
    found = rows("tides", path, "--start", "2026-08-15", "--days", "14")
    text = done("tides", path, "--start", "2026-08-15", "--days", "14")
    assert "Stands, where the water moves less than 1 cm:" in text
    assert len(re.findall(r"(?:high|low) \d\d:\d\d", text)) == len(found)
    assert all(abs(float(a["height_m"]) - float(b["height_m"])) >= 0.01 for a, b in itertools.pairwise(found))


def test_check_says_what_a_file_means(tmp_path):
    path = written(
        tmp_path,
        head("UTC"),
        published_station("8729840"),
        published_station("8443970"),
        SIMPLE_STATION,
        SIMPLE_SPOT,
    )
    text = " ".join(done("check", path).split())
    assert "no problems found" in text
    assert "3 stations" in text and "1 spot" in text
    # Form numbers from the published constituents, (K1 + O1)/(M2 + S2).
    for station, regime in (("8729840", "diurnal tide"), ("8443970", "semidiurnal tide")):
        table = {
            row["name"]: float(row["amplitude"]) for row in published_rows(f"constituents_{station}.csv")
        }
        number = (table["K1"] + table["O1"]) / (table["M2"] + table["S2"])
        assert f"{regime} (form number {number:.2f})" in text


def test_a_sun_that_does_not_set_is_told(tmp_path):
    station = SIMPLE_STATION.replace("latitude = 50.1", "latitude = 71.0")
    path = written(tmp_path, head("UTC"), station)
    assert "The sun does not set" in done("sky", path, "--start", "2026-06-20", "--days", "3")
    assert "The sun does not rise" in done("sky", path, "--start", "2026-12-20", "--days", "3")


def test_the_manual_opens_by_how_to_read_it_and_lists_its_pages():
    told = " ".join(done("guide").split())
    assert "The manual" in told and "ebblight guide TOPIC shows a page." in told
    assert [topic for topic in TOPICS if page(topic).title not in told] == []
