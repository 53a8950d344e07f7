"""`new`: from a published table to a first file, by options and at a terminal.

Constants: NOAA CO-OPS, Boston, source line in tests/published.
"""

import csv
import os
import pty
import select
import shlex
import subprocess
import sys
import time

import pytest

from harmonics.catalogue.constituents import find
from tests.cli.runs import REPOSITORY, done, refused, run
from tests.published_layouts import tide

TABLE = "Harmonic constituents for Boston\nAmplitudes in feet, phases in degrees GMT\nDatum: MLLW\n\n"
ANSWERS = {
    "--latitude": "42.3539",
    "--longitude": "-71.0503",
    "--mean-level": "5.09",
    "--spot": "Long wharf",
}


@pytest.fixture
def table(tmp_path):
    rows = "".join(f"{row.name:8}{row.amplitude / 0.3048:8.3f}{row.phase:8.1f}\n" for row in tide("8443970"))
    path = tmp_path / "boston.txt"
    path.write_text(f"{TABLE}Name    Amplitude  Phase\n{rows}")
    return path


def options(**changed):
    given = {**ANSWERS, **{f"--{key.replace('_', '-')}": value for key, value in changed.items()}}
    return [part for pair in given.items() if pair[1] is not None for part in pair]


class TestByOptions:
    def test_a_file_that_passes_and_forecasts(self, tmp_path, table):
        found = run("new", table, "-o", tmp_path / "my" / "shore", *options())
        assert found.code == 0, found.err
        path = tmp_path / "my" / "shore" / "boston.toml"
        assert "High and low waters of Mon 10 Aug 2026, to hold beside a printed table" in found.out
        assert found.out.endswith(f"Next: ebblight week {path}\n")
        assert "America/New_York, from the position" in found.err
        assert "Worth a look" not in found.out
        assert "Best: " in done("week", path)
        assert 15 <= len(path.read_text().splitlines()) <= 35

    def test_half_a_letter_is_refused_by_its_line_and_a_file_s_name_may_have_one(self, tmp_path, table):
        told = refused(1, "new", table, "-o", tmp_path / "shore", *options(title="Ha\udcffen"))
        assert "boston.toml (not written): 1 problem" in told
        assert "found 'title = \"Ha\\udcffen\"'; expected whole letters, in UTF-8" in told
        assert not (tmp_path / "shore").exists()
        named = tmp_path / "bost\udcffon.txt"
        named.write_bytes(table.read_bytes())
        assert run("new", named, "-o", tmp_path / "other", *options()).code == 0
        (made,) = (tmp_path / "other").glob("*.csv")
        assert "from bost\\udcffon.txt" in made.read_text(encoding="utf-8")

    def test_constants_are_the_published_ones_to_the_digit(self, tmp_path, table):
        run("new", table, "-o", tmp_path / "shore", *options())
        lines = (tmp_path / "shore" / "boston.csv").read_text().splitlines()
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
        told = {row["name"]: (float(row["amplitude"]), float(row["phase"])) for row in rows}
        published = {find(row.name).name: row for row in tide("8443970")}
        assert len(told) > 20
        for name, (amplitude, phase) in told.items():
            assert amplitude == pytest.approx(round(published[name].amplitude / 0.3048, 3), abs=1e-5)
            assert phase == pytest.approx(published[name].phase, abs=1e-3)

    def test_missing_options_are_listed(self, tmp_path, table):
        told = refused_after_reading("new", table, "-o", tmp_path / "shore", "--latitude", "42.3")
        assert "missing options: --longitude, --mean-level, --spot\n" in told
        assert not (tmp_path / "shore").exists()

    def test_a_table_without_a_unit_wants_this_command_s_option(self, tmp_path, table):
        table.write_text(table.read_text().replace("Amplitudes in feet, p", "P"))
        told = refused(1, "new", table, "-o", tmp_path / "shore", *options())
        assert "--table-units" in told and " --units" not in told

    def test_without_anything_table_and_folder_are_missing(self):
        assert "missing options: TABLE, -o" in refused(2, "new")

    def test_west_without_its_sign_is_refused_and_nothing_is_written(self, tmp_path, table):
        given = options(spot_longitude="71.05", spot_latitude="42.35")
        found = run("new", table, "-o", tmp_path / "shore", *given)
        assert found.code == 1
        assert "spots[0].longitude" in found.err and "write: longitude = -71.05" in found.err
        assert not (tmp_path / "shore").exists()
        (again,) = [line for line in found.err.splitlines() if line.startswith("ebblight new ")]
        put_right = shlex.split(again.replace("--spot-longitude 71.05", "--spot-longitude -71.05"))
        assert run(*put_right[1:]).code == 0
        assert "Best: " in done("week", tmp_path / "shore" / "boston.toml")

    def test_a_file_that_is_there_stays(self, tmp_path, table):
        run("new", table, "-o", tmp_path, *options())
        before = (tmp_path / "boston.toml").read_bytes()
        found = run("new", table, "-o", tmp_path, *options(spot="Another"))
        assert found.code == 1 and "found such a file already" in found.err
        assert "\nebblight new " in found.err
        assert (tmp_path / "boston.toml").read_bytes() == before

    def test_names_with_quotes_stay_names(self, tmp_path, table):
        found = run("new", table, "-o", tmp_path, *options(spot='Pa\'s "old" dock\\', title='"'))
        assert found.code == 0, found.err
        assert 'Pa\'s "old" dock' in done("check", tmp_path / "boston.toml")


def refused_after_reading(*arguments):
    """Standard error of a run with wrong usage; what the table says may stand before it."""
    found = run(*arguments)
    assert (found.code, found.out) == (2, "")
    return found.err


ASKED = (
    ("latitude", "42.3539"),
    ("longitude", "-71.0503"),
    ("Mean sea level", "5.09"),
    ("first spot", "Long wharf"),
    ("spot's latitude", ""),
    ("spot's longitude", "-71.049"),
    ("clock of", ""),
    ("heights in", "metres"),
)
"""What the table leaves open: words of each prompt, and the answer."""


def typed(folder, arguments, asked):
    """What a terminal shows while each prompt is answered as a person would, one line after another."""
    outer, inner = pty.openpty()
    command = [sys.executable, "-m", "windows.cli", "new", *arguments]
    within = {**os.environ, "PYTHONPATH": str(REPOSITORY)}
    with subprocess.Popen(
        command, stdin=inner, stdout=inner, stderr=inner, close_fds=True, cwd=folder, env=within
    ) as process:
        os.close(inner)
        screen = ""
        for prompt, answer in asked:
            before = len(screen)
            screen = read_until(outer, screen, lambda text, seen=before, words=prompt: words in text[seen:])
            os.write(outer, f"{answer}\n".encode())
        screen = read_until(outer, screen, lambda text: "Next: ebblight week" in text)
        assert process.wait(timeout=30) == 0
    os.close(outer)
    return screen


def test_at_a_terminal_what_is_missing_is_asked_for(tmp_path, table):
    screen = typed(tmp_path, (str(table), "-o", str(tmp_path / "shore")), ASKED)
    assert "[America/New_York]" in screen and "[feet]" in screen
    assert 'units = "metres"' in (tmp_path / "shore" / "boston.toml").read_text()
    assert "Best: " in done("week", tmp_path / "shore" / "boston.toml")


def test_who_knows_no_datum_counts_from_mean_sea_level(tmp_path, table):
    table.write_text(table.read_text().replace("Datum: MLLW\n", ""))
    asked = (*ASKED[:2], ("[MSL]", ""), *ASKED[3:])
    screen = typed(tmp_path, (str(table), "-o", str(tmp_path / "shore")), asked)
    assert "Mean sea level above that" not in screen
    text = (tmp_path / "shore" / "boston.toml").read_text()
    assert 'datum = "MSL"' in text and "mean_level = 0" in text


def test_the_table_comes_first_then_what_it_did_not_say_then_the_folder(tmp_path, table):
    asked = (("published constituents", str(table)), *ASKED, ("Folder for your file", ""))
    screen = typed(tmp_path, (), asked)
    order = ["published constituents", "Amplitudes in feet", "Datum: MLLW", *(words for words, _ in ASKED)]
    places = [screen.index(words) for words in [*order, "Folder for your file", "Next: "]]
    assert places == sorted(places)
    assert "Heights are counted from" not in screen and "Name of the station" not in screen
    assert "Folder for your file [boston]" in screen
    assert "Best: " in done("week", tmp_path / "boston" / "boston.toml")


def read_until(descriptor, screen, seen):
    """What a terminal shows, until it shows what is waited for."""
    end = time.monotonic() + 30
    while not seen(screen):
        assert time.monotonic() < end, screen
        if select.select([descriptor], [], [], 1)[0]:
            screen += os.read(descriptor, 65536).decode()
    return screen
