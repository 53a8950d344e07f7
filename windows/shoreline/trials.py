"""A station file's new text read where it will stand, before it is written."""

import tempfile
from collections.abc import Mapping
from contextlib import ExitStack
from pathlib import Path

from harmonics.errors import FileProblemsError, OutputError
from windows.shoreline.shore import Shore, read_possible_shore


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
    with ExitStack() as clearing:
        try:
            for name, rows in (beside or {}).items():
                new = path.parent / name
                with open(new, "xb") as stream:
                    clearing.callback(new.unlink, missing_ok=True)
                    stream.write(rows.encode())
            trial = clearing.enter_context(
                tempfile.NamedTemporaryFile(dir=path.parent, prefix=f".{path.stem[:40]}.", suffix=".part")
            )
            trial.write(text.encode())
            trial.flush()
        except FileExistsError as error:
            expected = "expected none: name another id"
            raise OutputError(f"{error.filename}: found such a file already; {expected}") from None
        except OSError as error:
            raise OutputError(f"{path}: can't try the change: {error.strerror or error}") from None
        return _read(path, Path(trial.name))


def _read(path: Path, trial: Path) -> Shore:
    from dataclasses import replace

    try:
        return replace(read_possible_shore(trial), path=path)
    except FileProblemsError as error:
        raise FileProblemsError(f"{path} (not changed)", error.problems) from None
