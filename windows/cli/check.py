"""`check`: what a file means, and every problem in it."""

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import ClassVar

import click

from windows.cli.answer import answer
from windows.cli.options import file_argument, group, now_of, output_option, workers_option
from windows.cli.output import Answer, Target, screen_width


@dataclass(frozen=True)
class CheckJob:
    """A check asked for; `windows.cli.many.Job` is met.

    Attributes:
        year: over which ranges are found.
        width: columns of the text.
    """

    form: ClassVar[str] = Target.form

    year: int
    width: int

    def single(self, file: Path) -> Answer:
        """What the file means.

        Raises:
            FileProblemsError: every problem in it.
        """
        from windows.forecast.summary import summarise
        from windows.render.text.summary import summary_text
        from windows.shoreline.shore import read_shore

        shore = read_shore(file)
        return Answer(summary_text(summarise(shore, self.year), self.width))

    def whole(self, file: Path) -> Answer:
        """The same: a check looks at all that a file holds."""
        return self.single(file)


@click.command()
@file_argument
@group("target", Target, output_option(folders=True), workers_option)
@click.pass_context
def check(ctx: click.Context, file: Path, target: Target) -> None:
    """What a file means: stations, kind of tide, ranges, spots; or every problem in it.

    FILE may be a folder of station files: all are checked, and each gets a result in the folder of -o.
    """
    year = datetime.fromtimestamp(now_of(ctx), UTC).year
    answer(CheckJob(year, screen_width()), file, target, folder_to_screen=True)
