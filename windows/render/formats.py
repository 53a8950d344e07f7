"""The registry of formats: what each kind of result can be written as, and which function writes it.

A format stands once in `FORMATS`, a kind of result once in `WRITERS`; the choices of `--format`, their help
and the suffixes of files come from there. Functions are named, not imported: they load when they are used.
"""

from collections.abc import Mapping
from enum import Enum, unique
from importlib import import_module
from typing import NamedTuple

from windows.render.words.options import Why


class Format(NamedTuple):
    """A format by itself.

    Attributes:
        suffix: of a file in it, without the dot.
        use: what it is for, in a few words.
    """

    suffix: str
    use: str


FORMATS: Mapping[str, Format] = {
    "table": Format("txt", "to read here"),
    "csv": Format("csv", "rows for a spreadsheet"),
    "json": Format("json", "rows and a header for programs"),
    "page": Format("html", "a page for the phone"),
    "svg": Format("svg", "a drawing"),
    "png": Format("png", "a picture"),
    "ics": Format("ics", "calendar entries"),
    "text": Format("txt", "a phone message"),
}


@unique
class ResultKind(Enum):
    """Kinds of result, by what they answer."""

    WEEK = "a forecast, day by day"
    BEST = "a forecast, best sessions first"
    COMPARE = "a forecast, spots side by side"
    PLAN = "days out"
    NOW = "this minute at each spot"
    PROOF = "forecasts of the past against a record"
    LISTING = "water or sky of one place or several"
    ANALYSIS = "constituents from a record, with a report"
    CONSTITUENTS = "a constituent table"
    TRIPS = "trips of a log"
    LOG_REPORT = "what a log tells of the score"
    LESSONS = "what trips teach"


class RenderOptions(NamedTuple):
    """What a writer may need to know beside the result.

    Attributes:
        width: columns of the screen.
        source: name of the file that the result was made from.
        mark: points from which a session gets a calendar entry; None for each spot's keep mark.
        why: which sessions are explained at length.
        all_sessions: whether a calendar holds more than one entry a day and group of spots.
        before: the calendar that a new one takes the place of.
        whole: whether every spot of the file is asked for.
    """

    width: int
    source: str = ""
    mark: float | None = None
    why: Why = Why.BEST
    all_sessions: bool = False
    before: str = ""
    whole: bool = True


class Writer(NamedTuple):
    """A function from a result, and the options it takes after it, to text or bytes.

    Attributes:
        function: where it is, as module:name.
        options: names of the `RenderOptions` that it takes, in its order.
    """

    function: str
    options: tuple[str, ...] = ()

    def __call__(self, result: object, options: RenderOptions) -> str | bytes:
        """The result as text or bytes."""
        module, _, name = self.function.partition(":")
        made = getattr(import_module(module), name)(
            result, *(getattr(options, item) for item in self.options)
        )
        assert isinstance(made, str | bytes)
        return made


_TEXT = ("width", "why")
_FORECAST = {
    "csv": Writer("windows.render.records.forecasts:forecast_csv"),
    "json": Writer("windows.render.records.forecasts:forecast_json"),
    "page": Writer("windows.render.page.document:page", ("source",)),
    "svg": Writer("windows.render.chart.drawing:svg_days"),
    "png": Writer("windows.render.chart.picture:png"),
    "ics": Writer("windows.render.calendar.entries:calendar", ("mark", "all_sessions", "before", "whole")),
    "text": Writer("windows.render.text.message:message"),
}
_ROWS = {
    "table": Writer("windows.render.records.results:result_text"),
    "csv": Writer("windows.render.records.results:result_csv"),
    "json": Writer("windows.render.records.results:result_json"),
}
WRITERS: Mapping[ResultKind, Mapping[str, Writer]] = {
    ResultKind.WEEK: {"table": Writer("windows.render.text.terminal:week", _TEXT), **_FORECAST},
    ResultKind.BEST: {
        **_FORECAST,
        "table": Writer("windows.render.text.terminal:best", _TEXT),
        "page": Writer("windows.render.page.document:best_page", ("source",)),
    },
    ResultKind.COMPARE: {
        **_FORECAST,
        "table": Writer("windows.render.text.terminal:compare", _TEXT),
        "page": Writer("windows.render.page.document:compare_page", ("source",)),
    },
    ResultKind.PLAN: {
        "table": Writer("windows.render.text.plan:plan_text", ("width",)),
        "csv": Writer("windows.render.records.plans:plan_csv"),
        "json": Writer("windows.render.records.plans:plan_json"),
        "page": Writer("windows.render.page.outing:plan_page", ("source",)),
        "svg": Writer("windows.render.chart.outing:plan_svg"),
        "png": Writer("windows.render.chart.outing:plan_png"),
        "ics": Writer("windows.render.calendar.outings:plan_calendar", ("before",)),
        "text": Writer("windows.render.text.plan_message:plan_message"),
    },
    ResultKind.NOW: {
        "table": Writer("windows.render.text.now:now_text", ("width",)),
        "csv": Writer("windows.render.records.now:now_csv"),
        "json": Writer("windows.render.records.now:now_json"),
        "page": Writer("windows.render.page.instant:now_page"),
        "text": Writer("windows.render.text.now:now_message"),
    },
    ResultKind.PROOF: {
        "table": Writer("windows.render.text.proof:proof_text", ("width",)),
        "csv": Writer("windows.render.records.proof:proof_csv"),
        "json": Writer("windows.render.records.proof:proof_json"),
        "svg": Writer("windows.render.chart.reliability:proof_svg"),
        "png": Writer("windows.render.chart.reliability:proof_png"),
    },
    ResultKind.LISTING: _ROWS,
    ResultKind.ANALYSIS: _ROWS,
    ResultKind.CONSTITUENTS: {"csv": _ROWS["table"], "json": _ROWS["json"]},  # its text is a table to keep
    ResultKind.TRIPS: _ROWS,
    ResultKind.LOG_REPORT: {**_ROWS, "svg": Writer("windows.render.records.results:result_drawing")},
    ResultKind.LESSONS: _ROWS,
}


def names_for(kind: ResultKind) -> tuple[str, ...]:
    """Names of the formats that a kind of result can be written in, in the registry's order."""
    return tuple(name for name in FORMATS if name in WRITERS[kind])


def uses_for(kind: ResultKind) -> str:
    """What each of those formats is for, in a sentence for help."""
    return "; ".join(f"{name}: {FORMATS[name].use}" for name in names_for(kind))


def suffix_of(name: str) -> str:
    """Suffix of a file in that format, without the dot."""
    return FORMATS[name].suffix


def write(kind: ResultKind, name: str, result: object, options: RenderOptions) -> str | bytes:
    """The result in that format.

    Raises:
        KeyError: this kind of result can't be written so.
    """
    return WRITERS[kind][name](result, options)
