"""What a log tells, as its pages show it."""

from collections.abc import Sequence
from typing import NamedTuple

from markupsafe import Markup

from windows.log.lessons import Lesson
from windows.log.report import LogReport
from windows.render.chart.catches import HEIGHT, WIDTH, catches_marks
from windows.render.text.log import paste_lines
from windows.render.words import lessons as lesson_words
from windows.render.words import log as texts


class BandRow(NamedTuple):
    """Trips of neighbouring points, in words."""

    points: str
    trips: str
    fish: str
    rate: str
    interval: str


class ReportView(NamedTuple):
    """The report.

    Attributes:
        verdict: the first sentence.
        bands: best first.
        lines: what the numbers rest on.
        drawing, width, height: trips and bands; None where there is nothing to draw.
    """

    verdict: str
    bands: tuple[BandRow, ...]
    lines: tuple[str, ...]
    drawing: Markup | None
    width: int
    height: int


class LessonsView(NamedTuple):
    """What trips teach: a sentence each, and the lines for the file."""

    lines: tuple[str, ...]
    paste: str


def report_view(report: LogReport) -> ReportView:
    """The report in words and as a drawing."""
    rows = tuple(
        BandRow(
            f"{band.low:.0f} to {band.high:.0f}",
            f"{band.rate.trips} ({band.rate.blank} without fish)",
            str(band.rate.caught),
            f"{band.rate.rate:.2f}",
            f"{band.rate.low:.2f} to {band.rate.high:.2f}",
        )
        for band in reversed(report.bands)
    )
    drawn = catches_marks(report) if report.bands else None
    return ReportView(
        texts.verdict_words(report),
        rows,
        tuple(texts.basis_lines(report)),
        drawn,
        int(WIDTH),
        int(HEIGHT),
    )


def lessons_view(lessons: Sequence[Lesson]) -> LessonsView:
    """Each lesson in words, and what the file should say otherwise."""
    changes = [lesson for lesson in lessons if lesson.value is not None]
    told = tuple(lesson_words.lesson_words(lesson) for lesson in lessons)
    return LessonsView(told or (lesson_words.NOTHING,), paste_lines(changes))
