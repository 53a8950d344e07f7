"""Faults in every writer: full disks, permission lost, kills, folders and links in the way, others at work.

python -m tests.hostile.faults_run                     # all: some thousand faults, several minutes
python -m tests.hostile.faults_run --writer "log add"

The k-th call that reaches the disk fails, for every k (SQLite is stopped between its steps), and what is then
there must be what was there before, or what the writer makes undisturbed. Then the writer runs again.
"""

import os
import resource
import shutil
import signal
import sys
import tempfile
import time
import warnings
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

import click

from tests.cli.runs import run
from tests.hostile.injection import ERRORS, Calls, failing, killed
from tests.hostile.page_writers import of_pages
from tests.hostile.writers import Writer, changes, laid_out, outputs, trips

LIMITS = (0, 100, 1000, 5000, 20_000, 33_000, 40_000, 60_000)
"""Bytes that no file may grow beyond."""
AT_MOST = 40
"""Places tried in one writer with one kind of fault; spread evenly over more."""
WAIT = 0.03
"""Seconds that a writer is held up for another one, which may be waiting for it."""
IN_THE_WAY = ("a folder there", "a dangling link there")
KINDS = (*ERRORS, "killed", "file limit", *IN_THE_WAY, "two at once", "clock set back")
Tree = dict[str, object]


@dataclass(frozen=True)
class Outcome:
    """What a fault led to: told as one word, and what is wrong with it, if anything."""

    word: str
    wrong: str = ""


class Trial:
    """A writer in a folder that is laid out anew for each fault."""

    def __init__(self, writer: Writer, root: Path) -> None:
        self.writer, self.root = writer, root
        self.kept = root.with_name(f"{root.name}.kept")
        root.mkdir()
        with self.at_home():
            laid_out(root)
            writer.prepare(root)
            shutil.copytree(root, self.kept)
            self.old = self.tree()
            with Calls(root).watched() as calls:
                code, told = writer.act(root)
            assert code == 0, f"{writer.name}: {told}"
            self.calls, self.new = calls.names, self.tree()
            self.middle = self.old
            if writer.middle is not None:
                self.again()
                writer.middle(root)
                self.middle = self.tree()

    @contextmanager
    def at_home(self) -> Iterator[None]:
        homes = {"XDG_CACHE_HOME": str(self.root / "cache"), "XDG_DATA_HOME": str(self.root / "data")}
        with patch.dict(os.environ, homes):
            yield

    def tree(self) -> Tree:
        """What is in the folder: bytes by name, and the trips of the log."""
        found: Tree = {
            str(path.relative_to(self.root)): path.read_bytes()
            for path in sorted(self.root.rglob("*"))
            if path.is_file() and ".db" not in path.name and path.suffix != ".part"
        }
        return {**found, "the log": trips(self.root)}

    def parts(self) -> list[str]:
        return [path.name for path in self.root.rglob("*.part")]

    def again(self) -> None:
        shutil.rmtree(self.root)
        shutil.copytree(self.kept, self.root)

    def places(self, kind: str) -> list[int]:
        """Numbers of the calls that the fault is tried at; for a limit, bytes."""
        if kind == "file limit":
            return list(LIMITS)
        if kind == "clock set back":
            return [1]
        if kind in IN_THE_WAY and self.writer.target is None:
            return []
        every = [
            place for place, name in enumerate(self.calls, 1) if kind not in ERRORS or name in ERRORS[kind][1]
        ]
        return every[:: -(-len(every) // AT_MOST)] if every else []

    def tried(self, kind: str, place: int) -> Outcome:
        """One fault, and what came of it; then the same without."""
        self.again()
        with self.at_home():
            try:
                return FAULTS.get(kind, Trial.failed)(self, kind, place)
            except Exception as error:
                return Outcome("raised", f"{type(error).__name__}: {error}")

    def failed(self, kind: str, place: int) -> Outcome:
        with Calls(self.root, place, failing(ERRORS[kind][0]), halves=True).watched():
            code, told = self.writer.act(self.root)
        return self.judged(code, told, may_leave=self.calls[place - 1] in {"unlink", "scandir"})

    def limited(self, kind: str, place: int) -> Outcome:
        soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
        with patch.object(sys, "dont_write_bytecode", True):
            resource.setrlimit(resource.RLIMIT_FSIZE, (place, hard))
            try:
                code, told = self.writer.act(self.root)
            finally:
                resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        return self.judged(code, told)

    def killed(self, kind: str, place: int) -> Outcome:
        def act() -> int:
            with Calls(self.root, place, killed, halves=True).watched():
                return self.writer.act(self.root)[0]

        ended = waited(child(act))
        if ended != -signal.SIGKILL:
            return Outcome("not met", f"ended with {ended}")
        return self.judged(None, "", may_leave=True)

    def in_the_way(self, kind: str, place: int) -> Outcome:
        target = self.root / str(self.writer.target)

        def swap(name: str) -> None:
            with suppress(OSError):
                target.unlink(missing_ok=True)
                target.parent.mkdir(exist_ok=True)
                target.mkdir() if kind == IN_THE_WAY[0] else target.symlink_to(self.root / "none" / "there")

        with Calls(self.root, place, swap).watched():
            code, told = self.writer.act(self.root)
        if target.is_symlink():
            target.unlink()
        elif target.is_dir():
            target.rmdir()
        name = str(self.writer.target)
        if not target.exists() and name in self.old:
            target.write_bytes((self.kept / name).read_bytes())
        return self.judged(code, told, may_be_told=True)

    def two(self, kind: str, place: int) -> Outcome:
        hears, says = os.pipe()

        def wait_and_act() -> int:
            os.read(hears, 1)
            return self.writer.other(self.root)[0]

        def start(name: str) -> None:
            os.write(says, b"!")
            time.sleep(WAIT)

        other = child(wait_and_act)  # begun before anything is locked, for a child has its parent's locks
        with Calls(self.root, place, start).watched():
            code, told = self.writer.act(self.root)
        codes = (code, waited(other))
        os.close(hears)
        os.close(says)
        found, wrong = self.tree(), self.wrong_words(code, told)
        if self.writer.middle is not None:  # the other's change may stand between the two steps
            lost = codes[1] == 0 and "new2" not in str(found["shore.toml"])
            torn = run("check", self.root / "shore.toml").code
            wrong = "the other's is lost" if lost else "what is there can't be read" if torn else wrong
            return Outcome("one waited or told" if any(codes) else "both done", wrong)
        alone = self.other_alone()
        self.again()
        self.writer.act(self.root)
        self.writer.other(self.root)
        firsts = self.tree()
        self.again()
        self.writer.other(self.root)
        self.writer.act(self.root)
        whole = {
            "old": self.old,
            "first": self.new,
            "second": alone,
            "both": firsts,
            "both ": self.tree(),
            "middle": self.middle,
        }
        if any(item not in (0, 1) for item in codes):
            return Outcome("torn", f"ended with {codes}")
        if self.writer.both and codes == (0, 0):
            whole = {name: tree for name, tree in whole.items() if name.startswith("both")}
        for name in found:
            if all(found[name] != tree.get(name) for tree in whole.values()):
                return Outcome("torn", f"{name} is neither's, ended with {codes}")
        return Outcome("one waited or told" if any(codes) else "both done", wrong)

    def other_alone(self) -> Tree:
        self.again()
        self.writer.other(self.root)
        return self.tree()

    def clock(self, kind: str, place: int) -> Outcome:
        """The files are of years to come, as after a clock was set back."""
        for path in self.root.rglob("*"):
            os.utime(path, (4e9, 4e9))
        real = time.time
        with patch("time.time", lambda: real() - 1e8):
            code, told = self.writer.act(self.root)
        if code:
            return Outcome("told", f"a clock is no reason to end with {code}: {told}")
        return self.judged(code, told)

    def judged(
        self, code: int | None, told: str, may_leave: bool = False, may_be_told: bool = False
    ) -> Outcome:
        """Whether what is there is old or new, whole, told in words, and no hindrance."""
        found = self.tree()
        wrong = self.wrong_words(code, told)
        for name in sorted({*found, *self.old, *self.middle, *self.new}):
            if found.get(name) not in (self.old.get(name), self.middle.get(name), self.new.get(name)):
                wrong = wrong or f"{name} is neither old nor new"
        spare = {name for name in found if name.startswith(self.writer.spare) and name not in self.new}
        needed = {name: data for name, data in found.items() if name not in spare}
        if code == 0 and needed != self.new and not self.writer.quiet and not may_be_told:
            wrong = wrong or "success was told, and it is not there"
        if self.parts() and not may_leave:
            wrong = wrong or f"{self.parts()} left behind"
        if not wrong and found != self.new and self.middle == self.old:
            code, told = self.writer.act(self.root)
            if code or self.tree() != self.new:
                wrong = f"a later run ends with {code}: {told}"
            elif self.parts():
                wrong = f"a later run leaves {self.parts()}"
        return Outcome("old" if found == self.old else "new" if found == self.new else "between", wrong)

    def wrong_words(self, code: int | None, told: str) -> str:
        """What is wrong with the exit status and its message."""
        if code not in (None, 0, 1):
            return f"ended with {code}"
        if code != 1:
            return ""
        named = str(self.root) in told or "shore.toml" in told or "other bytes" in told or "changed" in told
        if "Traceback" in told or "a fault of the program" in told or "ebblight:" not in told or not named:
            return f"told so: {told!r}"
        return ""


FAULTS: dict[str, Callable[[Trial, str, int], Outcome]] = {
    "killed": Trial.killed,
    "file limit": Trial.limited,
    **dict.fromkeys(IN_THE_WAY, Trial.in_the_way),
    "two at once": Trial.two,
    "clock set back": Trial.clock,
}


def child(act: Callable[[], int]) -> int:
    """A process of ours that does it and ends with its status."""
    with warnings.catch_warnings():
        warnings.simplefilter(
            "ignore", DeprecationWarning
        )  # of forks beside threads, which this one survives
        number = os.fork()
    if number == 0:
        code = 70
        try:
            code = act()
        finally:
            os._exit(code)
    return number


def waited(number: int) -> int:
    return os.waitstatus_to_exitcode(os.waitpid(number, 0)[1])


def tried(writer: Writer, folder: Path, kinds: tuple[str, ...] = KINDS, each: int = 0) -> Iterator[tuple]:
    """Every fault of these kinds in a writer, or so many of each: kind, place, outcome."""
    trial = Trial(writer, folder)
    for kind in kinds:
        places = trial.places(kind)
        step = max(1, len(places) // each) if each else 1
        for place in places[sum(map(ord, writer.name)) % step :: step]:  # others in another writer
            yield kind, place, trial.tried(kind, place)


@click.command(help=__doc__)
@click.option("--writer", "wanted", default="", help="Writers whose names in the table begin so.")
@click.option("--kind", "kinds", type=click.Choice(KINDS), multiple=True, help="A kind of fault.")
@click.option("--each", default=0, help="Faults of a kind in a writer; 0 for all.")
def main(wanted: str, kinds: tuple[str, ...], each: int) -> None:
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    began, total, bad = time.monotonic(), 0, []
    table: list[str] = []
    with tempfile.TemporaryDirectory() as passing:
        for writer in (
            item for item in (*outputs(), *changes(), *of_pages()) if item.name.startswith(wanted)
        ):
            found: dict[str, Counter[str]] = {}
            folder = Path(passing) / writer.name.replace(" ", "_").replace(":", "")
            for kind, place, outcome in tried(writer, folder, kinds or KINDS, each):
                found.setdefault(kind, Counter())[outcome.word] += 1
                total += 1
                if outcome.wrong:
                    bad.append(f"{writer.name}, {kind}, {place}: {outcome.wrong}")
                    click.echo(bad[-1], err=True)
            click.echo(f"{writer.name}: {total} faults after {time.monotonic() - began:.0f} s", err=True)
            for kind, words in found.items():
                told = ", ".join(f"{count} {word}" for word, count in sorted(words.items()))
                table.append(f"{writer.name:<24}{kind:<24}{words.total():>5}  {told}")
    click.echo("\n".join((f"{'writer':<24}{'kind':<24}{'n':>5}  what was there after it", *table)))
    click.echo(f"{total} faults in {time.monotonic() - began:.0f} s, {len(bad)} of them with a wrong end")
    raise SystemExit(1 if bad else 0)


if __name__ == "__main__":
    main()
