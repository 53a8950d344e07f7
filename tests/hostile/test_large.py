"""The largest files that are read at all: within a stated memory, never without an end, refused in words.

MEMORY is what a process that reads such a file may hold at its peak, Python, numpy and pandas included (some
50 to 110 MiB before a byte is read). What is larger than a kind of file may be is refused before it is read.
"""

import json
import os
import select
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from harmonics.files import agency_tables as tables_in
from harmonics.files import checking, constituent_tables, text_files
from harmonics.records.columns import MOST_LINES
from tests.cli.runs import REPOSITORY

MEMORY = {"stations": 768, "constituents": 256, "import": 512, "levels": 1024}
"""MiB."""
UNREAD = 128
"""MiB of a process that refuses a file by its size alone."""
LARGEST = {
    "stations": checking.MAXIMUM_BYTES,
    "constituents": constituent_tables.MAXIMUM_BYTES,
    "import": tables_in.MAXIMUM_BYTES,
    "levels": text_files.MAXIMUM_BYTES,
}
WHOLE = {"one line", "brackets"}
"""What is read at full size; of the rest a 32nd of a file, within a 32nd of what it may hold."""
ALL_WHOLE = bool(os.environ.get("EBBLIGHT_WHOLE_FILES"))
"""The long run: all at full size."""
SECONDS = 300
"""A hang ends the test; how long reading takes is measured elsewhere."""
HEAD = 'title = "A"\ntime_zone = "UTC"\nunits = "metres"\n'
STATION = (
    '[[stations]]\nid = "p"\nname = "P"\nlatitude = 1\nlongitude = 2\ndatum = "x"\nmean_level = 0\n'
    'length_unit = "metres"\n'
)


class Reader:
    """A process that reads files of one kind, each in a child, and tells how it went."""

    def __init__(self, kind: str, first: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.hostile.read_one", kind, str(first)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            cwd=REPOSITORY,
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        )
        self.told()

    def read(self, path: Path) -> dict[str, object]:
        """What `read_one` tells of a file."""
        assert self.process.stdin is not None
        self.process.stdin.write(f"{path}\n".encode())
        self.process.stdin.flush()
        return self.told()

    def told(self) -> dict[str, object]:
        """The next line; a hang or a fault is the test's failure."""
        assert self.process.stdout is not None
        ready, _, _ = select.select([self.process.stdout], [], [], SECONDS)
        assert ready, f"no answer within {SECONDS} s"
        found = json.loads(self.process.stdout.readline() or "null")
        assert isinstance(found, dict) and "status" not in found, (found, self.ended())
        return found

    def ended(self) -> str:
        """What it leaves on standard error."""
        self.process.kill()
        return self.process.communicate()[1].decode()[-2000:]

    def close(self) -> None:
        """End it; it must have had nothing else to say."""
        assert self.process.communicate(timeout=SECONDS) == (b"", b"")
        assert self.process.returncode == 0


@pytest.fixture(scope="module")
def reader(tmp_path_factory) -> Iterator[Callable[[str], Reader]]:
    """The reader of a kind of file, started at its first use with a small file of that kind."""
    readers: dict[str, Reader] = {}

    def of(kind: str) -> Reader:
        if kind not in readers:
            first = tmp_path_factory.mktemp("first") / "small.txt"
            first.write_text(SMALL[kind], encoding="utf-8")
            readers[kind] = Reader(kind, first)
        return readers[kind]

    yield of
    for one in readers.values():
        one.close()


def filled(head: str, piece: str, tail: str, size: int) -> bytes:
    """As many pieces between head and tail as fit."""
    count = (size - len(head.encode()) - len(tail.encode())) // len(piece.encode())
    return (head + piece * count + tail).encode()


def numbered(head: str, piece: Callable[[int], str], size: int) -> bytes:
    """As many numbered pieces after the head as fit."""
    made = [head]
    length = len(head)
    for number in range(size):
        made.append(piece(number))
        length += len(made[-1])
        if length > size:
            break
    return "".join(made[:-1]).encode()


SMALL = {
    "stations": HEAD,
    "constituents": "name,amplitude,phase\nM2,1,2\n",
    "import": "name,amplitude_m,phase_gmt\nM2,1,2\n",
    "levels": "time_utc,level_m\n2000-01-01 00:00,1.2\n",
}
STATIONS = {
    "keys": lambda size: numbered(HEAD, lambda i: f"k{i}=1\n", size),
    "tables": lambda size: numbered(HEAD, lambda i: f"[a{i}]\n", size),
    "empty stations": lambda size: filled(f"{HEAD}stations=[", "{},", "]", size),
    "empty spots": lambda size: filled(f"{HEAD}spots=[", "{},", "]", size),
    "empty banks": lambda size: filled(HEAD, "[[banks]]\n", "", size),
    "numbers for stations": lambda size: filled(f"{HEAD}stations=[", "1,", "]", size),
    "days": lambda size: filled(f"{HEAD}[fishing]\ndays=[", "1,", "]", size),
    "constituents": lambda size: filled(f"{HEAD}{STATION}constituents=[", "1,", "]", size),
    "unknown constituents": lambda size: filled(
        f"{HEAD}{STATION}constituents=[", '{name="q",amplitude=1,phase=1},', "]", size
    ),
    "dotted key": lambda size: filled(HEAD, "a.", "a=1", size),
    "dotted key in a table": lambda size: filled(f"{HEAD}x={{", "a.", "a=1}", size),
    "dotted key of quotes": lambda size: filled(f'{HEAD}"="', ". 'a b'", "=1", size),
    "dotted keys just short enough": lambda size: filled(HEAD, "a." * 98 + "a\n", "", size),
    "quoted keys just short enough": lambda size: filled(HEAD, "''." * 98 + "a\n", "", size),
    "brackets": lambda size: filled(f"{HEAD}x=", "[", "", size),
    "inline tables": lambda size: filled(f"{HEAD}x=", "{a=", "", size),
    "one string": lambda size: filled('title="', "x", '"\n', size),
    "one word": lambda size: filled("", "x", "", size),
    "one number": lambda size: filled("title = ", "9", "\n", size),
    "quotes": lambda size: filled("title = ", '"', "\n", size),
    "table name": lambda size: filled(f'{HEAD}{STATION}constituents="', "x", '"\n', size),
    "zone": lambda size: filled('title="A"\nunits="feet"\ntime_zone="', "x", '"\n', size),
}
CONSTITUENTS = {
    "short lines": lambda size: filled("name,amplitude,phase\n", "a\n", "", size),
    "unknown names": lambda size: filled("name,amplitude,phase\n", "a,1,1\n", "", size),
    "one line": lambda size: filled("name,amplitude,phase\n", "x", "", size),
    "one header": lambda size: filled("", "name,", "", size),
    "the same name": lambda size: filled("name,amplitude,phase\n", "M2,1,1\n", "", size),
    "quotes": lambda size: filled("name,amplitude,phase\n", '"', "", size),
}
IMPORTED = {
    "short lines": lambda size: filled("name,amplitude_m,phase_gmt\n", "a\n", "", size),
    "unknown names": lambda size: filled("name,amplitude_m,phase_gmt\n", "a,1,1\n", "", size),
    "one line": lambda size: filled("name,amplitude_m,phase_gmt\n", "x", "", size),
    "one header": lambda size: filled("", "name,", "", size),
    "empty objects": lambda size: filled("[", "{},", "{}]", size),
    "objects": lambda size: filled("[", '{"name":"q","amplitude":1,"phase":1},', "{}]", size),
    "brackets": lambda size: filled("", "[", "", size),
    "one number": lambda size: filled('[{"name":"M2","phase":1,"amplitude":', "9", "}]", size),
    "a list for a number": lambda size: filled('[{"name":"M2","phase":1,"amplitude":[', "1,", "1]}]", size),
}


def years_of_minutes(size: int) -> bytes:
    """The fullest record: as many plain readings as are allowed."""
    count = min(MOST_LINES - 10, size // len("2000-01-01 00:00,1.2\n") - 10)
    day = "".join(f"DAY {hour:02}:{minute:02},1.2\n" for hour in range(24) for minute in range(60))
    days = [day.replace("DAY", str(date(2000, 1, 1) + timedelta(i))) for i in range(count // 1440 + 1)]
    readings = "".join(days)[: count * len("2000-01-01 00:00,1.2\n")]
    return f"time_utc,level_m\n{readings}".encode()


HEADER = "time_utc,level_m\n"
LEVELS = {
    "all good": years_of_minutes,
    "one line": lambda size: filled("", "x", "", size),
    "one row": lambda size: filled(HEADER, "x", "", size),
    "one row of another plane": lambda size: filled(HEADER, "\N{FISH}", "", size),
    "one row of commas": lambda size: filled(HEADER, ",", "", size),
    "a header of commas": lambda size: filled("time_utc,level_m", ",", "\n1\n", size),
    "empty lines": lambda size: filled(HEADER, "\n", "", size),
    "other line ends": lambda size: filled(HEADER, "a,b\x0b", "", size),
    "comments": lambda size: filled(HEADER, "#\n", "", size),
    "quotes": lambda size: filled(HEADER, '"', "", size),
    "an open quote": lambda size: filled(f'{HEADER}"', "a,b,d,e,f,g,h,i,j,k,l\n", "", size),
    "bad rows": lambda size: filled(HEADER, "2000-01-01 00:00,not a level\n", "", size),
    "the same time": lambda size: filled(HEADER, "2000-01-01 00:00,1\n2000-01-01 00:00,2\n", "", size)[
        : MOST_LINES * 19
    ],
}
FILES = [
    (kind, name, make)
    for kind, made in (
        ("stations", STATIONS),
        ("constituents", CONSTITUENTS),
        ("import", IMPORTED),
        ("levels", LEVELS),
    )
    for name, make in made.items()
]


@pytest.mark.parametrize(("kind", "name", "make"), FILES, ids=[f"{kind} {name}" for kind, name, _ in FILES])
def test_the_largest_file(reader, tmp_path, kind, name, make):
    path = tmp_path / "large.txt"
    share = 1.0 if ALL_WHOLE or name in WHOLE else 1 / 32
    size = int(LARGEST[kind] * share)
    path.write_bytes(make(size))
    assert size * 0.6 < path.stat().st_size <= size
    found = reader(kind).read(path)
    path.unlink()
    assert found["mib"] < UNREAD + (MEMORY[kind] - UNREAD) * share, found
    if name == "all good":
        assert found["message"] == ""
        return
    assert str(found["message"]).startswith(str(path))
    assert "expected" in str(found["message"])
    assert int(str(found["length"])) < 1_000_000


@pytest.mark.parametrize("kind", MEMORY)
def test_lines_of_a_billion_characters_are_refused_unread(reader, tmp_path, kind):
    path = tmp_path / "line.txt"
    for size in (10**9, 10**12):
        with path.open("wb") as stream:
            stream.truncate(size)
        found = reader(kind).read(path)
        assert f"{size:,} bytes" in str(found["message"])
        assert f"{LARGEST[kind]:,} bytes" in str(found["message"])
        assert int(str(found["mib"])) < UNREAD
    path.unlink()
