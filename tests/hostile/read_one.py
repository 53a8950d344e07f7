"""Reads files, each in a process of its own, and prints as JSON how it ended and how much memory it held.

`python -m tests.hostile.read_one KIND FIRST` reads FIRST for what it loads, then each file that standard
input names in a child of its own. KIND is one of the keys of `READ`. VmHWM is a process's own peak, that of a
child from what it finds at its start; ru_maxrss would count what the parent held (proc(5), getrusage(2)).
"""

import json
import os
import re
import sys
from pathlib import Path

from harmonics.errors import FileProblemsError


def _constituents(path: Path) -> None:
    from harmonics.files.constituent_tables import constants_of, rows_of_csv
    from harmonics.files.problems import Here, Problems

    problems = Problems(path)
    here = Here("table", problems)
    constants_of(rows_of_csv(path, here) or [], here, 1.0, None)
    if problems:
        raise problems.error()


def _station_file(path: Path) -> None:
    from windows.shoreline.shore import read_shore

    read_shore(path)


def _levels(path: Path) -> None:
    from harmonics.records.reader import read_record

    read_record(path)


def _imported(path: Path) -> None:
    from harmonics.files.agency_tables import read_published

    read_published(path)


READ = {"stations": _station_file, "constituents": _constituents, "levels": _levels, "import": _imported}


def read_one(kind: str, name: str) -> dict[str, object]:
    """How the reading of a file ended: the process's peak, and its message with its length."""
    message = ""
    try:
        READ[kind](Path(name))
    except FileProblemsError as error:
        message = str(error)
    status = Path("/proc/self/status").read_text(encoding="ascii")
    peak = re.search(r"VmHWM:\s+(\d+) kB", status)
    assert peak
    return {"mib": int(peak[1]) // 1024, "length": len(message), "message": message[:1000]}


def say(found: dict[str, object]) -> None:
    """A line of JSON."""
    sys.stdout.write(json.dumps(found) + "\n")
    sys.stdout.flush()


def main() -> None:
    """Read the file named by the arguments, then those that standard input names."""
    kind, first = sys.argv[1:]
    say(read_one(kind, first))
    for line in sys.stdin:
        child = os.fork()
        if child == 0:
            say(read_one(kind, line.rstrip("\n")))
            os._exit(0)
        _, status = os.waitpid(child, 0)
        if status:
            say({"status": status})


if __name__ == "__main__":
    main()
