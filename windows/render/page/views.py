"""The records a page's template reads: text and numbers ready to show, frozen."""

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True, slots=True)
class SessionView:
    """A session in words.

    Attributes:
        day, stretch: the day it starts, and from when to when.
        in_day: the same, read beside the day it is listed under.
        spot, light: as read.
        points, shares: rounded total, and what each factor gives to it.
        water: movement at its peak.
        levels: at start and end.
        shifted: points if the water came early, and late.
        why, headline, hazards, notes: sentences; the headline's are for the first screen.
        step, anchor: the chart that holds its peak, and that chart's step.
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


@dataclass(frozen=True, slots=True)
class ChartView:
    """One day of one spot.

    Attributes:
        anchor: its id in the page.
        spot, day: as read.
        svg: the drawing.
        levels, moves, points: values at 5-minute steps, whole numbers parted by spaces.
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
        printed: whether paper shows it.
    """

    anchor: str
    spot: str
    day: str
    svg: Markup
    levels: str
    moves: str
    points: str
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
    printed: bool


@dataclass(frozen=True, slots=True)
class DayView:
    """A day with the charts of every spot, and its best points for the list of days."""

    anchor: str
    day: str
    best: str
    charts: tuple[ChartView, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """A spot's best points of a day, whether they are the day's best of all, and the chart they stand in."""

    points: str
    best: bool
    anchor: str


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Up to seven days across, spots downwards."""

    days: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]


@dataclass(frozen=True, slots=True)
class PageView:
    """Everything the template reads.

    The head is of the browser's tab, the spot the only one, the columns those of a wide screen.
    """

    head: str
    title: str
    spot: str
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
    nearest: str
    days: tuple[DayView, ...]
    ranking: tuple[SessionView, ...]
    left_out: int
    beside: tuple[SideBySide, ...]
    points: tuple[str, ...]
    made: str
