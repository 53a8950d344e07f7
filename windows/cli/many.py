"""Many files at once: every station file of a folder, a result file each, in processes of their own.

The processes only compute; this one writes, each file whole or not at all, so that it may be ended at any
moment.
"""

import os
import signal
import threading
from collections import deque
from collections.abc import Generator, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Protocol

import click

from harmonics.errors import EbblightError, OutputError
from windows.cli.progress import WORTH_SHOWING, counted
from windows.render.files import write_whole

AHEAD = 4
"""Files handed out at once for each process: enough that none waits, few enough that results which wait to
be written take little memory."""
FILES_EACH = 8
"""Starting a process takes as long as about so many files of a week."""
SUFFIXES = {"table": "txt", "text": "txt", "page": "html"}
"""Where a format is not its own suffix."""


class Job(Protocol):
    """What is asked of each file; plain values that can be sent to another process."""

    @property
    def form(self) -> str:
        """Name of the format."""

    def single(self, file: Path) -> str | bytes:
        """The result for the place of the file that is asked for."""

    def whole(self, file: Path) -> str | bytes:
        """The result for all that the file holds."""


@dataclass(frozen=True)
class Made:
    """What became of a file: its result, or the problem."""

    file: Path
    data: bytes = b""
    problem: str | None = None


def write_results(job: Job, folder: Path, out: Path, workers: int | None, processors: int) -> None:
    """Write a result for every *.toml of the folder into `out`, under the file's name.

    Without a number of workers there is one a processor, and none but this one for a handful of files. A file
    that fails is told on standard error at the end, in the order of names; the rest are written.

    Raises:
        EbblightError: the folder holds no such file, or `out` can't be a folder.
        click.exceptions.Exit: status 1, a file failed.
    """
    files = _station_files(folder)
    _ready(out)
    workers = workers or max(1, min(processors, len(files) // FILES_EACH))
    problems: dict[Path, str] = {}
    written = 0
    try:
        with (
            counted("files", len(files), WORTH_SHOWING) as progress,
            closing(_made(job, files, workers)) as every,
        ):
            for made in every:
                problem = made.problem or _written(made, out, SUFFIXES.get(job.form, job.form))
                if problem is None:
                    written += 1
                else:
                    problems[made.file] = problem
                progress(written + len(problems))
    except KeyboardInterrupt:
        click.echo(f"interrupted: {written} of {len(files)} results are in {out}, each whole", err=True)
        raise
    finally:
        for file in sorted(problems):
            click.echo(f"ebblight: {problems[file]}", err=True)
    click.echo(f"wrote {written} of {len(files)} results to {out}", err=True)
    if problems:
        raise click.exceptions.Exit(1)


def _station_files(folder: Path) -> list[Path]:
    """Its *.toml in the order of names; hidden ones are an editor's, not a person's."""
    try:
        found = sorted(path for path in folder.iterdir() if path.suffix == ".toml" and path.name[0] != ".")
    except OSError as error:
        raise EbblightError(f"{folder}: can't read the folder: {error.strerror or error}") from None
    if not found:
        raise EbblightError(f"{folder}: found no station file; expected files named *.toml")
    return found


def _ready(out: Path) -> None:
    try:
        out.mkdir(exist_ok=True)
    except OSError as error:
        raise OutputError(f"{out}: can't be the folder of the results: {error.strerror or error}") from None


def _written(made: Made, out: Path, suffix: str) -> str | None:
    """Write one result; the problem where that can't be done."""
    try:
        write_whole(out / f"{made.file.stem}.{suffix}", made.data)
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
        result = job.whole(file)
    except EbblightError as error:
        text = str(error)
    except Exception as error:
        text = f"a fault of the program, not of the file: {type(error).__name__}: {error}"
    else:
        return Made(file, result if isinstance(result, bytes) else result.encode("utf-8", errors="replace"))
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
                with _interrupts_ignored():
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
def _interrupts_ignored() -> Iterator[None]:
    """Processes started inside ignore Ctrl-C from their first moment: this one alone answers it."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before or signal.SIG_DFL)


def _attend(reader: "Connection[None, None]") -> None:
    """Set up a process: it leaves Ctrl-C to the first process, and ends when that one ends or says so."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with, args=(reader,), daemon=True).start()


def _end_with(reader: "Connection[None, None]") -> None:
    with suppress(EOFError, OSError):
        reader.recv_bytes()
    os._exit(1)
