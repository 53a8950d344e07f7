"""Reads one file in a process of its own and prints as JSON how it ended and how much memory it ever held.

`python -m tests.hostile.read_one KIND FILE`, KIND one of the keys of `READ`. VmHWM is this program's own
peak; ru_maxrss would count what the parent held before it started this one (proc(5), getrusage(2)).
"""

import json
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


def main() -> None:
    """Reads the file named by the arguments."""
    kind, name = sys.argv[1:]
    message = ""
    try:
        READ[kind](Path(name))
    except FileProblemsError as error:
        message = str(error)
    status = Path("/proc/self/status").read_text(encoding="ascii")
    peak = re.search(r"VmHWM:\s+(\d+) kB", status)
    assert peak
    found = {"mib": int(peak[1]) // 1024, "length": len(message), "message": message[:1000]}
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main()
