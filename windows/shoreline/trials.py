"""A station file's new text read where it will stand, before it is written."""

import errno
import os
from collections.abc import Mapping
from contextlib import ExitStack, suppress
from pathlib import Path

from harmonics.errors import FileProblemsError, OutputError, Problem
from harmonics.files.parts import holds, part_for
from harmonics.files.problems import shown
from windows.shoreline.shore import Shore, read_possible_shore

PERMISSIONS = 0o600
"""Of what stands there for a moment."""


def tried(path: Path, text: str, beside: Mapping[str, str] | None = None) -> Shore:
    """What a text means as that file, with new files beside it; nothing is left there.

    Args:
        path: of the file, which may be there or not; its folder must be there.
        text: of the file, with its byte order mark if it has one.
        beside: text of each new file in its folder, by its name.

    Raises:
        FileProblemsError: every problem in it.
        OutputError: a file beside it is there already, or the folder can't be written to.
    """
    data = _encoded(path, text)
    with ExitStack() as clearing:
        try:
            for name, rows in (beside or {}).items():
                _lay(path.parent / name, rows.encode(), clearing)
            trial = clearing.enter_context(part_for(path))
            trial.stream.write(data)
            trial.stream.flush()
        except FileExistsError as error:
            expected = "expected none: name another id"
            raise OutputError(f"{error.filename}: found such a file already; {expected}") from None
        except OSError as error:
            raise OutputError(f"{path}: can't try the change: {error.strerror or error}") from None
        return _read(path, trial.path)


def _encoded(path: Path, text: str) -> bytes:
    """The bytes of a text.

    Raises:
        FileProblemsError: half a letter, as an argument has that was not typed in UTF-8.
    """
    try:
        return text.encode()
    except UnicodeEncodeError as error:
        number = text.count("\n", 0, error.start)
        line = text.split("\n")[number]
        problem = Problem(f"line {number + 1}", shown(line), "whole letters, in UTF-8")
        raise FileProblemsError(str(path), (problem,)) from None


def _lay(new: Path, data: bytes, clearing: ExitStack) -> None:
    """Put a new file there for the while, unless a killed writer left it there already.

    Raises:
        FileExistsError: another is there.
        OSError: it can't be written.
    """
    if holds(new, data):
        return
    if os.path.lexists(new):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(new))
    with part_for(new) as part:
        part.stream.write(data)
        clearing.callback(_taken_away, new)
        part.put(new, PERMISSIONS)


def _taken_away(new: Path) -> None:
    with suppress(OSError):  # one that stays is no hindrance, for its bytes are those to be written
        new.unlink(missing_ok=True)


def _read(path: Path, trial: Path) -> Shore:
    from dataclasses import replace

    try:
        return replace(read_possible_shore(trial), path=path)
    except FileProblemsError as error:
        raise FileProblemsError(f"{path} (not changed)", error.problems) from None
