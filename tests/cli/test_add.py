"""`add`: places put into a file, its comments and order kept, nothing half-written.

Constants: NOAA CO-OPS, Boston, source line in tests/published.
"""

import os
import shlex

import pytest

from tests.cli.runs import done, rows, run
from tests.cli.test_one_mistake import laid_out
from tests.published_layouts import tide
from windows.cli import main

HEAD = "Amplitudes in metres, phases GMT\nName Amplitude Phase\n"
SPOT = ("--name", "Old dock", "--latitude", "43.11", "--longitude", "-70.705")


@pytest.fixture
def shore(tmp_path):
    path = laid_out(tmp_path, None)
    path.write_text(f"# mine, by hand\n{path.read_text()}# the last line\n")
    return path


def added(kind, shore, *options):
    found = run("add", kind, shore, *options)
    assert found.code == 0, found.err
    assert "to hold beside a printed table" in found.out
    assert following(found)[1] in main.list_commands(None) and following(found)[2] == str(shore)
    return found


def following(found):
    """The words of the command that is named as the next."""
    return shlex.split(found.out.splitlines()[-1].removeprefix("Next: "))


def kept_lines(before, after):
    """Whether all lines from before stand in the new text in their order."""
    lines = iter(after.splitlines())
    return all(any(line == new for new in lines) for line in before.splitlines())


class TestKinds:
    def test_a_position_may_be_in_degrees_and_minutes(self, shore):
        there = ("--latitude", "43° 6.6' N", "--longitude", "70 42.3 W", "--station", "pier")
        added("spot", shore, "--name", "Old dock", *there)
        assert "latitude = 43.11\nlongitude = -70.705\n" in shore.read_text()
        found = run("add", "spot", shore, "--name", "Quay", "--latitude", "43,1", "--longitude", "-70.7")
        assert "found '43,1'; expected a latitude such as 42.36 or 42 21.6 N" in found.err
        assert "Quay" not in shore.read_text()

    def test_a_spot_comes_after_the_others(self, shore):
        before = shore.read_text()
        found = added("spot", shore, *SPOT, "--station", "pier", "--strong-ebb", "1.5", "--slack-lag", "20")
        assert found.out.endswith(f"Next: ebblight week {shore} --spot old-dock\n")
        assert kept_lines(before, shore.read_text())
        told = done("check", shore)
        assert told.index("bridge: Bridge") < told.index("old-dock: Old dock at 43.1100, -70.7050")
        assert "1.5 kn" in told

    def test_an_id_that_is_taken_is_counted_on(self, shore):
        added("spot", shore, *SPOT, "--station", "pier")
        moved = ("--name", "Old dock", "--latitude", "43.111", "--longitude", "-70.706")
        added("spot", shore, *moved, "--station", "pier")
        assert "old-dock-2: Old dock" in done("check", shore)

    def test_a_bank(self, shore):
        before = shore.read_text()
        added(
            "bank",
            shore,
            "--name",
            "Mussel bed",
            "--station",
            "pier",
            "--bare-below",
            "0.5",
            "--bait",
            "worm",
            "--latitude",
            "43.1",
            "--longitude",
            "-70.69",
        )
        assert kept_lines(before, shore.read_text())
        assert 'id = "mussel-bed"' in shore.read_text() and "latitude = 43.1\n" in shore.read_text()

    def test_a_way_to_nowhere_is_refused(self, shore):
        before = shore.read_bytes()
        found = run("add", "way", shore, "--from", "bridge", "--to", "nowhere", "--minutes", "12")
        assert found.code == 1 and "nowhere" in found.err
        assert shore.read_bytes() == before

    def test_a_shrimp_bank_needs_no_level(self, shore):
        given = ("--name", "Grass edge", "--station", "pier", "--bait", "shrimp")
        added("bank", shore, *given)
        assert 'bait = "shrimp"' in shore.read_text() and "bare_below = 0.4" in shore.read_text()
        told = run("add", "bank", shore, "--name", "Bed", "--station", "pier", "--bait", "worm")
        assert told.code == 2 and "missing options: --bare-below" in told.err

    def test_an_id_differs_from_those_of_other_kinds(self, shore):
        added("spot", shore, "--name", "Flat", *SPOT[2:], "--station", "pier")
        assert 'id = "flat-2"' in shore.read_text()
        found = run("add", "spot", shore, "--id", "flat", *SPOT, "--station", "pier")
        assert found.code == 1 and "'flat', the id of banks[0] too" in found.err

    def test_a_landing_where_there_was_none(self, shore):
        before = shore.read_text()
        added("landing", shore, "--name", "Ramp", "--latitude", "43.1", "--longitude", "-70.69")
        assert kept_lines(before, shore.read_text())
        assert "ramp: Ramp at 43.1000, -70.6900" in done("check", shore)

    def test_a_boat_its_landing_and_a_way(self, shore):
        added("boat", shore, "--speed-kn", "7", "--draft", "0.4")
        place = ("--latitude", "43.1", "--longitude", "-70.69", "--station", "pier")
        added("landing", shore, "--name", "Ramp", *place, "--depth-at-datum", "0.5")
        found = added("way", shore, "--from", "ramp", "--to", "bridge", "--minutes", "12")
        assert "added [[ways]] ramp to bridge" in found.err
        told = done("check", shore)
        assert "bridge - ramp: 12 min." in told and "7 kn, draft 0.4" in told

    def test_a_second_boat_is_refused(self, shore):
        added("boat", shore, "--speed-kn", "7")
        assert "boat: found such a table already" in run("add", "boat", shore, "--speed-kn", "9").err

    def test_a_depth_for_a_boat_that_is_not_there_says_how_to_add_one(self, shore):
        place = ("--name", "Ramp", "--latitude", "43.1", "--longitude", "-70.69", "--depth-at-datum", "1")
        assert "a [boat] with its draft (`ebblight add boat`)" in run("add", "landing", shore, *place).err

    def test_gates_of_a_spot(self, shore):
        gates = ("--least-level", "0.5", "--greatest-level", "2", "--depth-at-datum", "3")
        depths = ("--least-depth", "4", "--greatest-depth", "4.5")
        added("spot", shore, *SPOT, "--station", "pier", *gates, *depths)
        told = " ".join(done("check", shore).split())
        for gate in (
            "least level 0.50 m",
            "greatest level 2.00 m",
            "least depth 4.00 m",
            "greatest depth 4.50 m",
        ):
            assert gate in told

    def test_a_station_with_its_table(self, shore):
        lines = "".join(f"{row.name} {row.amplitude:.4f} {row.phase:.1f}\n" for row in tide("8443970"))
        source = shore.parent / "printed.txt"
        source.write_text(
            f"Station: Harbour light\nAmplitudes in metres, phases GMT\nName Amplitude Phase\n{lines}"
        )
        place = ("--latitude", "43.0", "--longitude", "-70.6", "--datum", "MLLW", "--mean-level", "1.55")
        added("station", shore, "--table", source, *place)
        found = rows("tides", shore, "--station", "harbour-light", "--days", "1", "--start", "2026-08-10")
        assert len(found) in (3, 4)

    def test_a_current_with_its_table(self, shore):
        source = shore.parent / "gut.txt"
        source.write_text(
            "Station: The gut\nFlood direction: 300 degrees true\nEbb direction: 120 degrees true\n"
            "Name Amplitude (kn) Phase (Greenwich)\nM2 1.50 60.0\nS2 0.30 90.0\nK1 0.20 100.0\n"
        )
        added("current", shore, "--table", source, "--latitude", "43.08", "--longitude", "-70.73")
        assert (
            "The flood sets to 300 degrees true, the ebb sets to 120 degrees true, no mean flow is said."
            in (shore.parent / "the-gut.csv").read_text()
        )
        flow = ("--current", "the-gut", "--delay", "10", "--factor", "0.7")
        added("spot", shore, *SPOT, "--station", "pier", *flow)
        assert "current of the-gut, 10 min behind it, 0.7 times as strong" in " ".join(
            done("check", shore).split()
        )
        told = rows("currents", shore, "--station", "the-gut", "--days", "2", "--start", "2026-08-10")
        strongest = max(float(row["speed_kn"]) for row in told if row.get("speed_kn"))
        assert 1.0 < strongest <= 2.0


class TestBytes:
    @pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
    def test_line_ends_and_mark_stay(self, shore, mark):
        before = mark + shore.read_bytes().replace(b"\n", b"\r\n")
        shore.write_bytes(before)
        added("spot", shore, *SPOT, "--station", "pier")
        after = shore.read_bytes()
        assert after.startswith(before[:-2]) and b"\n" not in after.replace(b"\r\n", b"")
        assert "old-dock: Old dock" in done("check", shore)

    def test_the_next_command_is_quoted(self, shore):
        folder = shore.parent / "my shore"
        folder.mkdir()
        for item in (shore, shore.parent / "pier.csv"):
            item.rename(folder / item.name)
        moved = folder / shore.name
        found = added("spot", moved, *SPOT, "--station", "pier")
        words = following(found)
        assert words == ["ebblight", "week", str(moved), "--spot", "old-dock"]
        assert "Best: " in done(*words[1:])


class TestRefused:
    def test_missing_options_are_listed(self, shore):
        before = shore.read_bytes()
        found = run("add", "spot", shore, "--name", "Old dock")
        assert (found.code, found.out) == (2, "")
        assert "missing options: --latitude, --longitude, --station" in found.err
        assert shore.read_bytes() == before

    def test_west_without_its_sign_changes_nothing(self, shore):
        before, beside = shore.read_bytes(), sorted(os.listdir(shore.parent))
        given = ("--name", "Old dock", "--latitude", "43.11", "--longitude", "70.705", "--station", "pier")
        found = run("add", "spot", shore, *given)
        assert (found.code, found.out) == (1, "")
        assert "(not changed)" in found.err and "write: longitude = -70.705" in found.err
        assert shore.read_bytes() == before
        assert sorted(os.listdir(shore.parent)) == beside

    def test_a_station_that_can_not_be_leaves_no_table(self, shore):
        source = shore.parent / "printed.txt"
        source.write_text(f"{HEAD}M2 1.0 10\nS2 0.3 20\nK1 0.1 5\n")
        before, beside = shore.read_bytes(), sorted(os.listdir(shore.parent))
        place = ("--name", "Far", "--latitude", "43", "--longitude", "70.6", "--datum", "MSL")
        found = run("add", "station", shore, "--table", source, *place, "--mean-level", "0")
        assert found.code == 1
        assert shore.read_bytes() == before
        assert sorted(os.listdir(shore.parent)) == beside

    def test_a_table_is_asked_for_and_may_say_the_datum(self, shore):
        found = run("add", "station", shore, "--name", "Old dock")
        assert found.code == 2 and "missing options: --table" in found.err
        source = shore.parent / "printed.txt"
        source.write_text(
            "Amplitudes in metres, phases GMT\nDatum: MLLW\nName Amplitude Phase\nM2 1.2 100\nS2 0.2 130\n"
        )
        found = run("add", "station", shore, "--table", source, "--name", "Old dock")
        assert found.code == 2 and "missing options: --latitude, --longitude, --mean-level\n" in found.err

    def test_a_file_that_is_not_there(self, tmp_path):
        found = run("add", "spot", tmp_path / "none.toml", *SPOT)
        assert found.code == 1 and "no such file" in found.err
