"""The first evening, from an empty folder to a trip in the log, as the manual tells it."""

import re
import shlex
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.runs import NOW, run
from tests.documents import FENCE, told_in_order
from windows.guide import page

SATURDAY = datetime(2026, 8, 15, 21, 30, tzinfo=UTC).timestamp()
EVENING = datetime(2026, 8, 16, 1, 0, tzinfo=UTC).timestamp()
CLOCKS = {"At the water": SATURDAY, "The log": EVENING}
"""What the clock shows under a heading; the morning of 10 August under all others."""
WIDTH = "78"
FILE = Path("otter-sluice.toml")


def sections(text):
    """Headings with their fenced blocks, in order."""
    for part in re.split(r"^## ", text, flags=re.MULTILINE)[1:]:
        yield part.partition("\n")[0], FENCE.findall(part)


def written(body):
    """What the reader writes into the file: under its title, else at its end."""
    text = FILE.read_text(encoding="utf-8")
    title = body.partition("\n")[0] + "\n"
    FILE.write_text(text.replace(title, body) if title in text else f"{text}\n{body}", encoding="utf-8")


def typed(body, now):
    """What all commands of a block print; each must succeed."""
    printed = []
    for line in body.splitlines():
        words = shlex.split(line)
        assert words[0] == "ebblight"
        found = run(*words[1:], now=now, columns=WIDTH)
        assert found.code == 0, (line, found.err)
        printed += [found.err, found.out]
    return "".join(printed)


def evening(folder, monkeypatch):
    """Every step done; each printed block with what the commands before it printed."""
    monkeypatch.chdir(folder)
    printed = ""
    for heading, found in sections(page("evening").text):
        for language, body in found:
            if language == "sh":
                printed = typed(body, CLOCKS.get(heading, NOW))
            elif language == "toml":
                written(body)
            elif language == "table":
                Path("otter.txt").write_text(body, encoding="utf-8")
            else:
                assert language == "text"
                yield body, printed


@pytest.fixture(scope="module")
def steps(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        folder = tmp_path_factory.mktemp("evening")
        yield folder, list(evening(folder, patch))


def test_every_print_is_what_the_command_prints(steps):
    assert len(steps[1]) >= 7
    for shown, printed in steps[1]:
        assert told_in_order(shown, printed), f"{shown}\nis not in\n{printed}"


def test_it_leaves_a_file_that_passes_and_what_it_speaks_of(steps):
    folder, _ = steps
    assert "no problems found" in run("check", folder / FILE).out
    assert "INVENTED COAST" in (folder / "week.html").read_text(encoding="utf-8")
    assert "BEGIN:VALARM" in (folder / "weekend.ics").read_text(encoding="utf-8")
    trips = run("log", "list", folder / FILE, "--log", folder / "trips.db", "--format", "csv").out
    assert trips.count("\n") == 3
