"""A job for processes that need nothing but it: they start sooner than with the tests that ask it."""

import os
from dataclasses import dataclass
from pathlib import Path

from windows.cli.output import Answer


@dataclass(frozen=True)
class Strange:
    """A job that goes wrong in the ways files don't."""

    form: str = "text"

    def single(self, file: Path) -> Answer:
        return self.whole(file)

    def whole(self, file: Path) -> Answer:
        if file.stem.startswith("dies"):
            os._exit(9)
        if file.stem.startswith("faulty"):
            raise ZeroDivisionError("here")
        return Answer(f"{file.stem} \udce9")
