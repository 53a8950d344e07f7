"""The views of a day's chart: the drawing, the curves a reading follows, and the day in words."""

from itertools import pairwise

import numpy as np

from harmonics.arrays import Array
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.render.chart import lanes, parts
from windows.render.chart.drawing import day_chart
from windows.render.page.views import ChartView, SessionView
from windows.render.words import live
from windows.render.words.phrases import Words, zone_name
from windows.render.words.reasons import sentence, why_none
from windows.render.words.safe_text import plain

CENTI = 100.0
"""Levels and falls travel to the page in whole hundredths, speeds in whole tenths, as they are shown."""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz012345678"
"""Steps of -30 to 30 on their way to the page."""
ZERO = 30


def chart_view(frame: parts.Frame, ident: str, sessions: tuple[SessionView, ...]) -> ChartView:
    """One day of one spot.

    Args:
        frame: the day; where it is not drawn the page's script draws its curves when the day is opened.
        ident: its id in the page.
        sessions: of the day.
    """
    report, day, words = frame.report, frame.day, frame.words
    curve, steps = report.curve, frame.steps
    levels = levels_of(frame)
    moves = moves_of(frame)
    points = np.rint(curve.total[steps]).astype(int).tolist()
    count = len(points) if day.end > day.start else 0
    best = day.best
    moment = best.session.peak if best is not None else (day.start + day.end) / 2.0
    value = min(max(int(np.searchsorted(frame.t, moment)), 0), max(count - 1, 0))
    return ChartView(
        anchor=ident,
        spot=plain(report.spot.name),
        day=words.day(day.day),
        svg=day_chart(frame),
        levels=steps_between(levels),
        moves=steps_between(moves),
        points=steps_between(points),
        scale="" if frame.drawn else _scale(frame),
        fished="" if frame.drawn else _fished(frame),
        clocks=clocks_of(frame),
        ends=_clock(frame, count - 1) if count else "",
        start=int(frame.t[0]) if count else 0,
        last=count - 1,
        value=value,
        reading=reading(
            frame, f"{words.day(day.day)} {_clock(frame, value)}", levels[value], moves[value], points[value]
        )
        if count
        else "",
        cursor=lanes.cursor(frame, float(frame.t[value])) if count else "",
        unit=words.units.symbol,
        move_unit=move_unit(frame),
        move_places=move_places(frame),
        sessions=sessions,
        none=sentence(why_none(day, report, words)),
        water=_water(frame) if count else (),
        sky=tuple(words.sky(event) for event in day.sky if not lanes.is_sun_transit(event)),
    )


def steps_between(values: list[int]) -> str:
    """The first value, then a letter for the step from each to the next; what no letter says in brackets."""
    steps = (b - a for a, b in pairwise(values))
    first = "".join(f"({value})" for value in values[:1])
    return first + "".join(LETTERS[step + ZERO] if abs(step) <= ZERO else f"({step})" for step in steps)


def _scale(frame: parts.Frame) -> str:
    """What the script draws with: lowest and highest level of the plot, and the longest stroke's movement."""
    metres = frame.words.units.metres
    low, high = (f"{value / metres * CENTI:.1f}" for value in (frame.axis.low, frame.axis.high))
    most = _shown_movement(frame, np.array([parts.greatest(frame.report)]))
    return f"{low} {high} {most[0]:.1f}"


def _fished(frame: parts.Frame) -> str:
    """First and last step of each session inside the day."""
    found: list[str] = []
    for item in frame.sessions:
        inside = np.flatnonzero((frame.t >= item.session.start) & (frame.t <= item.session.end))
        if inside.size > 1:
            found.append(f"{inside[0]}-{inside[-1]}")
    return " ".join(found)


def levels_of(frame: parts.Frame) -> list[int]:
    """Levels as they travel."""
    level = frame.report.curve.level[frame.steps] / frame.words.units.metres * CENTI
    whole: list[int] = np.rint(level).astype(int).tolist()
    return whole


def moves_of(frame: parts.Frame) -> list[int]:
    """Movements as they travel."""
    shown = _shown_movement(frame, frame.report.curve.outgoing[frame.steps])
    whole: list[int] = np.rint(shown).astype(int).tolist()
    return whole


def _shown_movement(frame: parts.Frame, moving: Array) -> Array:
    """Movements in the units that travel."""
    if frame.report.flow.has_speed:
        return moving / METRES_PER_SECOND_PER_KNOT * 10.0
    return moving * 3600.0 / frame.words.units.metres * CENTI


def move_unit(frame: parts.Frame) -> str:
    """Of movements."""
    return "kn" if frame.report.flow.has_speed else f"{frame.words.units.symbol}/h"


def move_places(frame: parts.Frame) -> int:
    """Of movements, behind the point."""
    return 1 if frame.report.flow.has_speed else 2


def reading(frame: parts.Frame, when: str, level: int, move: int, points: int) -> str:
    """What a chart says of one step, word for word as its script says it; values as they travel."""
    places = move_places(frame)
    amount = f"{abs(move) / 10**places:.{places}f} {move_unit(frame)}"
    return live.reading(when, f"{level / CENTI:.2f} {frame.words.units.symbol}", amount, move, points)


def _clock(frame: parts.Frame, step: int) -> str:
    """The clock of a step: the day ends at 24:00, whatever the clock does then."""
    t = float(frame.t[step])
    local = frame.words.local(t)
    clock = "24:00" if t >= frame.day.end else f"{local:%H:%M}"
    return f"{clock} {zone_name(local)}" if frame.clock_changes else clock


def clocks_of(frame: parts.Frame) -> str:
    """Entries "step|minutes east of UTC|name" where the clock starts and where it changes.

    Only a day with two clocks names them: there an hour may come twice.
    """
    if frame.t.size == 0:
        return ""
    if not frame.clock_changes:
        return f"0|{_east(frame.words, float(frame.t[0]))}|"
    every = [_east(frame.words, float(t)) for t in frame.t]
    starts = [0, *(step for step, (a, b) in enumerate(pairwise(every), start=1) if a != b)]
    return " ".join(
        f"{step}|{every[step]}|{zone_name(frame.words.local(float(frame.t[step])))}" for step in starts
    )


def _east(words: Words, t: float) -> int:
    offset = words.local(t).utcoffset()
    return 0 if offset is None else round(offset.total_seconds() / 60.0)


def _water(frame: parts.Frame) -> tuple[str, ...]:
    """High and low waters, and when the flow turns."""
    words, day = frame.words, frame.day
    lines = [(turn.t, words.turn(turn, day.day)) for turn in day.turns]
    for slack in day.slacks:
        way = "go out" if slack.goes_out else "come in"
        lines.append((slack.t, f"flow turns to {way} at {words.clock(slack.t)}"))
    return tuple(text for _, text in sorted(lines))
