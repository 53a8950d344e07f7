"""`check`: what a file means, and every problem in it."""

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

import click

from windows.cli.answer import answer
from windows.cli.options import file_argument, group, now_of, output_option, workers_option
from windows.cli.output import DEFAULT_FORM, Answer, Target, screen_width

if TYPE_CHECKING:
    from windows.shoreline.shore import Shore

TRIES = 5
"""Readings of a file that another program changes again and again."""


@dataclass(frozen=True)
class CheckJob:
    """A check asked for; `windows.cli.many.Job` is met.

    Attributes:
        now: the clock, POSIX seconds: ranges are those of its year, high and low waters of its day.
        width: columns of the text.
    """

    form: ClassVar[str] = DEFAULT_FORM

    now: float
    width: int

    def single(self, file: Path) -> Answer:
        """What the file means.

        Raises:
            FileProblemsError: every problem in it.
        """
        from windows.forecast.summary import summarise
        from windows.render.text.summary import summary_text

        shore, parts = self._looked(file)
        parts.insert(0, self._records(shore))
        return Answer(summary_text(summarise(shore, self._year), self.width, parts))

    def brief(self, file: Path) -> str:
        """Only what is worth a look and today's high and low waters; errors as for `single`."""
        return "\n\n".join(filter(None, self._looked(file)[1]))

    def _records(self, shore: "Shore") -> str:
        """The stations' records, read."""
        from windows.conditions.knowledge import records_of
        from windows.render.text.checked import records_found
        from windows.render.words.phrases import words_of

        found = records_of(shore, shore.stations)
        files = {name: shore.records[name].path.name for name in found}
        return records_found(found, files, words_of(shore.head), self.width)

    @property
    def _year(self) -> int:
        return datetime.fromtimestamp(self.now, UTC).year

    def _looked(self, file: Path) -> "tuple[Shore, list[str]]":
        """The file read, what is worth a look in it, and today's water."""
        from windows.forecast.days_waters import waters_of_today
        from windows.render.text.checked import todays_waters, worth_a_look
        from windows.render.words.phrases import words_of
        from windows.shoreline.plausible import look

        shore, document = _read_alike(file)
        found = look(shore, document, self._year)
        words = words_of(shore.head)
        waters = todays_waters(waters_of_today(shore, self.now), words, self.width)
        return shore, [worth_a_look(found, words, self.width), waters]

    def whole(self, file: Path) -> Answer:
        """The same: a check looks at all that a file holds."""
        return self.single(file)


def _read_alike(file: Path) -> "tuple[Shore, dict[str, Any]]":
    """The file as places and as it stands, both of one state, where another program changes it meanwhile."""
    from harmonics.files.checking import load_document
    from harmonics.files.parts import state_of
    from windows.shoreline.shore import read_possible_shore

    for _ in range(TRIES):
        before = state_of(file)
        shore, document = read_possible_shore(file), load_document(file)
        if state_of(file) == before:
            break
    return shore, document


@click.command()
@file_argument
@group("target", Target, output_option(folders=True), workers_option)
@click.pass_context
def check(ctx: click.Context, file: Path, target: Target) -> None:
    """What a file means: stations, kind of tide, ranges, spots, today's water; or every problem in it.

    What is only odd stands under "Worth a look"; what can't be so is a problem, with the line to write.

    FILE may be a folder of station files: all are checked, and each gets a result in the folder of -o.
    """
    answer(CheckJob(now_of(ctx), screen_width()), file, target, folder_to_screen=True)
