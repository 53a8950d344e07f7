"""Tries every parser on many hostile inputs: `python -m tests.hostile.long_run --cases 100000`.

Cases are numbered; a fault is told with its parser, its number and its last lines, and the input is kept.
`--first N --cases 1 --reader NAME` tries one again. The exit status is 1 when there are faults.
"""

import argparse
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
import warnings
from collections import Counter
from pathlib import Path

from tests.hostile.readers import READERS, Reader, try_case

LONGEST_CASE = 20
"""Seconds of the processor, for a machine may stand still: cases have 200 kB at most, and reading one takes
milliseconds."""
MOST_MEMORY = 1024
"""MiB that the whole run may ever hold."""
MOST_TOLD = 5
"""Faults of one parser told in full."""


class TooSlowError(Exception):
    """A case that took longer than LONGEST_CASE."""


def _alarm(*_: object) -> None:
    raise TooSlowError(f"longer than {LONGEST_CASE} s")


def try_reader(reader: Reader, first: int, cases: int, keep: Path) -> Counter[str]:
    """Faults of one reader, counted by kind."""
    faults: Counter[str] = Counter()
    for seed in range(first, first + cases):
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            signal.setitimer(signal.ITIMER_PROF, LONGEST_CASE)
            try:
                try_case(reader, seed, folder)
            except Exception as error:
                signal.setitimer(signal.ITIMER_PROF, 0.0)
                kind = f"{type(error).__name__}: {str(error)[:80]}"
                faults[kind] += 1
                if faults.total() <= MOST_TOLD:
                    kept = keep / f"{reader.name.replace(' ', '-')}-{seed}"
                    shutil.copytree(folder, kept, dirs_exist_ok=True)
                    lines = traceback.format_exc().splitlines()[-12:]
                    _say(f"\n{reader.name} {seed} (kept in {kept})\n" + "\n".join(lines))
            finally:
                signal.setitimer(signal.ITIMER_PROF, 0.0)
    return faults


def _say(text: str) -> None:
    sys.stdout.write(text.encode("utf-8", "replace").decode() + "\n")
    sys.stdout.flush()


def main() -> int:
    """The run, its table, and the exit status."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=100_000, help="of all parsers together")
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--reader", choices=[reader.name for reader in READERS])
    options = parser.parse_args()
    readers = [reader for reader in READERS if options.reader in (None, reader.name)]
    warnings.simplefilter("error")
    signal.signal(signal.SIGPROF, _alarm)
    keep = Path(tempfile.mkdtemp(prefix="hostile-"))
    total = 0
    for reader in readers:
        began = time.monotonic()
        cases = -(-options.cases // len(readers))
        faults = try_reader(reader, options.first, cases, keep)
        total += faults.total()
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        seconds = time.monotonic() - began
        _say(
            f"{reader.name:18} {cases:8,} cases  {faults.total():5} faults  {seconds:7.1f} s  {memory:5} MiB"
        )
        for kind, count in faults.most_common(20):
            _say(f"    {count:6} x {kind}")
        if memory > MOST_MEMORY:
            _say(f"    more than {MOST_MEMORY} MiB")
            total += 1
    return 1 if total else 0


if __name__ == "__main__":
    sys.exit(main())
