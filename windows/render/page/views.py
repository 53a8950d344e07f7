"""The records a page's template reads: text and numbers ready to show, frozen."""

from typing import NamedTuple

from markupsafe import Markup

from windows.render.words.brief import Chip


class SessionView(NamedTuple):
    """A session in words.

    Attributes:
        day, stretch: the day it starts, and from when to when.
        in_day: the same, read beside the day it is listed under.
        spot, light: as read.
        points, shares: rounded total, and what each factor gives to it.
        water: movement at its peak.
        levels: at start and end.
        shifted: points if the water came early, as predicted, and late.
        why, headline, hazards, notes: sentences; the headline's are for the first screen.
        step, anchor: the chart that holds its peak, and that chart's step.
        rank, range: its place, and what eight cases of ten lie in.
        leave, line, chips: for a first screen: when to leave, the water, what to mind.
        starts, ends: POSIX seconds.
        at_length: whether its day tells why; of several spots the first of the order,
            each spot's best of a day.
    """

    day: str
    stretch: str
    in_day: str
    spot: str
    light: str
    points: str
    shares: str
    water: str
    levels: str
    shifted: str
    why: tuple[str, ...]
    headline: tuple[str, ...]
    hazards: tuple[str, ...]
    notes: tuple[str, ...]
    step: int
    anchor: str
    rank: str
    range: str
    leave: str
    line: str
    chips: tuple[Chip, ...]
    starts: int
    ends: int
    at_length: bool


class ChartView(NamedTuple):
    """One day of one spot.

    Attributes:
        anchor: its id in the page.
        spot, day: as read.
        svg: the drawing.
        levels, moves, points: at 5-minute steps, as `charts.steps_between` writes them.
        scale: lowest and highest level of the plot and the longest stroke's movement, for the script; empty
            where the curves are drawn.
        fished: first and last steps of sessions, likewise.
        clocks: the clock: step|minutes east of UTC from there on|its name where the day has two.
        ends: the clock of the last step.
        start: POSIX seconds of the first step.
        last, value: the last step, and the one read at first.
        reading: its text at `value`.
        cursor: path data of the line that stands there.
        unit, move_unit, move_places: of levels and moves.
        sessions: of the day.
        none: why there is none.
        water, sky: lines of the day in words.
    """

    anchor: str
    spot: str
    day: str
    svg: Markup
    levels: str
    moves: str
    points: str
    scale: str
    fished: str
    clocks: str
    ends: str
    start: int
    last: int
    value: int
    reading: str
    cursor: str
    unit: str
    move_unit: str
    move_places: int
    sessions: tuple[SessionView, ...]
    none: str
    water: tuple[str, ...]
    sky: tuple[str, ...]


class HoursView(NamedTuple):
    """The hours around the best session; what is not told here is as of a `ChartView`.

    Attributes:
        days: the local days it touches, in order, with | between.
        ends: the clock of the last step.
    """

    svg: Markup
    levels: str
    moves: str
    points: str
    clocks: str
    ends: str
    days: str
    start: int
    last: int
    value: int
    reading: str
    unit: str
    move_unit: str
    move_places: int


class DayView(NamedTuple):
    """A day with the charts of every spot, and its best session: points, and in brief."""

    anchor: str
    day: str
    weekday: str
    number: str
    best: str
    told: str
    charts: tuple[ChartView, ...]


class Cell(NamedTuple):
    """A spot's best points of a day, whether they are the day's best of all, and the chart they stand in."""

    points: str
    best: bool
    anchor: str


class SideBySide(NamedTuple):
    """Up to seven days across, spots downwards."""

    days: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]


class StripView(NamedTuple):
    """Days of a spot on one clock: the drawing, its height, its words, and starts and ends of the days."""

    svg: Markup
    height: str
    label: str
    days: str


class Cards(NamedTuple):
    """The best sessions of spots that compare; `first` is the place of the first of them."""

    heading: str
    sessions: tuple[SessionView, ...]
    first: int


class SheetRow(NamedTuple):
    """A day on paper."""

    day: str
    sun: str
    sessions: tuple[SessionView, ...]
    bait: str
    none: str
    turns: str


class PageView(NamedTuple):
    """Everything the template reads.

    The head is of the browser's tab, the spot the only one, the focus that of the best session, the columns
    those of a wide screen.
    """

    head: str
    title: str
    opening: str
    spot: str
    focus: str
    invented: str
    span: str
    clock: str
    heights: str
    todays: tuple[str, ...]
    best_else: tuple[str, ...]
    unlike: str
    several: bool
    columns: int
    bait: bool
    best: SessionView | None
    hero: HoursView | None
    strip: StripView
    cards: tuple[Cards, ...]
    sheet: tuple[SheetRow, ...]
    nearest: str
    days: tuple[DayView, ...]
    ranking: tuple[SessionView, ...]
    left_out: int
    beside: tuple[SideBySide, ...]
    shore: Markup
    shore_words: str
    points: tuple[str, ...]
    made_at: int
    made: str
