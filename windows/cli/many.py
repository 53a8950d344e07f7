"""Many files at once: every station file of a folder, a result file each, in processes of their own.

The processes only compute; this one writes, each file whole or not at all, so that it may be ended at any
moment.
"""

import os
import signal
import threading
from collections import deque
from collections.abc import Collection, Generator, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import closing, contextmanager, suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from typing import NamedTuple

import click

from harmonics.errors import EbblightError, OutputError
from harmonics.files.parts import clear_parts
from windows.cli.output import Job, emit
from windows.cli.progress import WORTH_SHOWING, counted
from windows.render.files import write_whole
from windows.render.formats import suffix_of

AHEAD = 4
"""Files handed out at once for each process: enough that none waits, few enough that results which wait to
be written take little memory."""
FILES_EACH = 8
"""Starting a process takes as long as about so many files of a week."""


class Made(NamedTuple):
    """What became of a file: its result with remarks, or the problem."""

    file: Path
    data: bytes = b""
    remarks: tuple[str, ...] = ()
    problem: str | None = None


def write_results(job: Job, folder: Path, out: Path | None, workers: int | None, processors: int) -> None:
    """Write a result for every *.toml of the folder into `out`, under its name; without it, to the screen.

    Without a number of workers there is one a processor, and none but this one for a handful of files. A file
    that fails is reported on standard error at the end, as are remarks, in the order of names; the rest are
    written.

    Raises:
        EbblightError: the folder holds no such file, or `out` can't be a folder.
        click.exceptions.Exit: status 1, a file failed.
    """
    files = _station_files(folder)
    if out is not None:
        _ready(out, {_result_name(file, suffix_of(job.form)) for file in files})
    workers = workers or max(1, min(processors, len(files) // FILES_EACH))
    results = _Results(out, suffix_of(job.form), len(files))
    try:
        with (
            counted("files", len(files), WORTH_SHOWING) as progress,
            closing(_made(job, files, workers)) as every,
        ):
            for made in every:
                progress(results.take(made))
    except KeyboardInterrupt:
        results.say(interrupted=True)
        raise
    results.say(interrupted=False)
    if results.problems:
        raise click.exceptions.Exit(1)


class _Results:
    """What became of a folder's files so far.

    Attributes:
        problems: by file.
    """

    def __init__(self, out: Path | None, suffix: str, expected: int) -> None:
        self.problems: dict[Path, str] = {}
        self._out, self._suffix, self._expected = out, suffix, expected
        self._remarks: dict[Path, tuple[str, ...]] = {}
        self._shown: dict[Path, bytes] = {}
        self._done = 0

    def take(self, made: Made) -> int:
        """Write a result, or keep it for the screen; the number of files that are done with.

        What is written is counted: Ctrl-C waits for both.
        """
        with _interrupts_held():
            problem = made.problem
            if problem is None and self._out is not None:
                problem = _written(made, self._out, self._suffix)
            elif problem is None:
                self._shown[made.file] = made.data
            if problem is None:
                self._done += 1
                self._remarks[made.file] = made.remarks
            else:
                self.problems[made.file] = problem
        return self._done + len(self.problems)

    def say(self, interrupted: bool) -> None:
        """Results for the screen, remarks, problems, each in the order of files, and how many are done."""
        if self._shown:
            emit("\n".join(self._shown[file].decode("utf-8") for file in sorted(self._shown)), None)
        for file in sorted(self._remarks):
            for remark in self._remarks[file]:
                click.echo(f"{file}: {remark}", err=True)
        if interrupted and self._out is not None:
            count = f"{self._done} of {self._expected} results are in {self._out}, each whole"
            click.echo(f"interrupted: {count}", err=True)
        for file in sorted(self.problems):
            click.echo(f"ebblight: {self.problems[file]}", err=True)
        if interrupted:
            return
        if self._out is None:
            click.echo(f"{self._done} of {self._expected} files without a problem", err=True)
        else:
            click.echo(f"wrote {self._done} of {self._expected} results to {self._out}", err=True)


def _station_files(folder: Path) -> list[Path]:
    """Its *.toml in the order of names; hidden ones are an editor's, not a person's."""
    try:
        found = sorted(path for path in folder.iterdir() if path.suffix == ".toml" and path.name[0] != ".")
    except OSError as error:
        raise EbblightError(f"{folder}: can't read the folder: {error.strerror or error}") from None
    if not found:
        raise EbblightError(f"{folder}: found no station file; expected files named *.toml")
    return found


def _ready(out: Path, names: Collection[str]) -> None:
    """The folder made and cleared, once for all, of what killed writers of these results left."""
    try:
        out.mkdir(exist_ok=True)
    except OSError as error:
        raise OutputError(f"{out}: can't be the folder of the results: {error.strerror or error}") from None
    clear_parts(out, names)


def _result_name(file: Path, suffix: str) -> str:
    return f"{file.stem}.{suffix}"


def _written(made: Made, out: Path, suffix: str) -> str | None:
    """Write one result; the problem where that can't be done."""
    try:
        write_whole(out / _result_name(made.file, suffix), made.data, clear=False)
    except OutputError as error:
        return str(error)
    return None


def _made(job: Job, files: Sequence[Path], workers: int) -> Generator[Made, None, None]:
    """Results as they come; one process needs no other."""
    workers = min(workers, len(files))
    if workers == 1:
        return (_make(job, file) for file in files)
    return _in_processes(job, files, workers)


def _make(job: Job, file: Path) -> Made:
    """The result of one file; whatever goes wrong with it is its own problem, not that of the rest."""
    try:
        made = job.whole(file)
    except (EbblightError, click.UsageError) as error:
        text = error.format_message() if isinstance(error, click.UsageError) else str(error)
    except Exception as error:
        text = f"a fault of the program, not of the file: {type(error).__name__}: {error}"
    else:
        data = made.data if isinstance(made.data, bytes) else made.data.encode("utf-8", errors="replace")
        return Made(file, data, made.remarks)
    return Made(file, problem=text if text.startswith(str(file)) else f"{file}: {text}")


def _in_processes(job: Job, files: Sequence[Path], workers: int) -> Generator[Made, None, None]:
    """As `_make` in processes; where one dies, the files that were handed out are tried one by one."""
    left = deque(files)
    while left:
        lost: list[Path] = []
        yield from _crew(job, left, workers, lost)
        for file in lost:
            alone: list[Path] = []
            yield from _crew(job, deque([file]), 1, alone)
            if alone:
                yield Made(file, problem=f"{file}: its process ended before the result was there")


def _crew(job: Job, left: deque[Path], workers: int, lost: list[Path]) -> Generator[Made, None, None]:
    """Take files from `left` until it is empty or a process dies: then `lost` holds those handed out."""
    context = get_context("spawn")
    reader, writer = context.Pipe(duplex=False)
    pool = ProcessPoolExecutor(workers, context, _attend, (reader,))
    running: dict[Future[Made], Path] = {}
    try:
        while left or running:
            while left and len(running) < AHEAD * workers:
                with _interrupts_held():
                    running[pool.submit(_make, job, left[0])] = left[0]
                left.popleft()
            for future in wait(running, return_when=FIRST_COMPLETED).done:
                made = future.result()
                del running[future]
                yield made
    except BrokenProcessPool:
        lost.extend(running.values())
    except BaseException:
        writer.close()
        raise
    finally:
        pool.shutdown(cancel_futures=True)
        writer.close()
        reader.close()


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Ctrl-C waits until the end of the block, and processes started inside never see it.

    What they inherit is the signal's mask; where the system has none, `_attend` sees to it a moment later.
    """
    if threading.current_thread() is not threading.main_thread() or _interrupts_ignored():
        yield
        return
    came: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, frame: came.append(number))
    try:
        with _interrupts_blocked():
            yield
    finally:
        signal.signal(signal.SIGINT, before or signal.SIG_DFL)
        if came:
            signal.raise_signal(signal.SIGINT)


def _interrupts_ignored() -> bool:
    """Whether this process was told to ignore Ctrl-C, as in the background; then those it starts do too."""
    return signal.getsignal(signal.SIGINT) is signal.SIG_IGN


@contextmanager
def _interrupts_blocked() -> Iterator[None]:
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _attend(reader: "Connection[None, None]") -> None:
    """Set up a process: it leaves Ctrl-C to the first process, and ends when that one ends or says so."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with, args=(reader,), daemon=True).start()


def _end_with(reader: "Connection[None, None]") -> None:
    with suppress(EOFError, OSError):
        reader.recv_bytes()
    os._exit(1)
