"""Water and sky as text: tide tables, levels, events of sun and moon."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from harmonics.arrays import Array
from harmonics.stations.currents import CurrentEvents
from harmonics.stations.events import HighLowWaters
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.astronomy import Body, DayState, SkyEvent, SkyEventKind
from windows.render.text.layout import Column, filled, paragraph, table
from windows.render.words import cautions
from windows.render.words.phrases import Words
from windows.shoreline.head import Head

DAY_WIDTH = 12
"""A day's column and the gap behind it."""


class Place(NamedTuple):
    """What heads a listing: file's title, invented or not, the place's name, its datum if it has one."""

    head: Head
    name: str
    datum: str | None


def head(place: Place, words: Words, days: Sequence[float], width: int) -> str:
    """Title, place, clock and units."""
    lines = [cautions.INVENTED] if place.head.invented else []
    lines.append(paragraph(f"{place.head.title}, {place.name}", width))
    units = f"; heights in {words.units.value} above {place.datum}" if place.datum else ""
    lines.append(paragraph(f"Local clock of {words.zone_words(days)}{units}.", width))
    return "\n".join(lines)


def tides(
    place: Place, days: Sequence[date], edges: Array, waters: HighLowWaters, words: Words, width: int
) -> str:
    """High and low waters, a line a day, and the stands left out of them."""
    turns = waters.turns
    rows: list[list[str]] = []
    for day, start, end in zip(days, edges[:-1], edges[1:], strict=True):
        inside = (turns.t >= start) & (turns.t < end)
        cells = [
            f"{'high' if high else 'low'} {words.clock(t)} {words.number(height)}"
            for t, height, high in zip(
                turns.t[inside].tolist(), turns.height[inside].tolist(), turns.high[inside], strict=True
            )
        ]
        rows.append([words.day(day), filled(cells, width - DAY_WIDTH) or "no high or low water"])
    parts = [head(place, words, edges.tolist(), width)]
    parts.append(table([Column("Day"), Column(f"Turns ({words.units.symbol})", fold=True)], rows, width))
    if len(waters.stands):
        stands = "; ".join(
            f"{words.day(words.local(start).date())} {words.clock(start)}-{words.clock(end)}"
            for start, end in waters.stands.tolist()[:6]
        )
        more = f" and {len(waters.stands) - 6} more" if len(waters.stands) > 6 else ""
        parts.append(paragraph(f"Stands, where the water moves less than 1 cm: {stands}{more}.", width))
    return "\n\n".join([*parts, cautions.SHORT]) + "\n"


def currents(
    place: Place, days: Sequence[date], edges: Array, events: CurrentEvents, words: Words, width: int
) -> str:
    """Slacks, floods and ebbs, a line a day."""
    rows: list[list[str]] = []
    for day, start, end in zip(days, edges[:-1], edges[1:], strict=True):
        inside = [i for i, t in enumerate(events.t.tolist()) if start <= t < end]
        cells = [_current(events, i, words) for i in inside]
        rows.append([words.day(day), filled(cells, width - DAY_WIDTH) or "no slack, flood or ebb"])
    parts = [head(place, words, edges.tolist(), width)]
    parts.append(
        table(
            [Column("Day"), Column("Slack, flood and ebb (knots, set in degrees true)", fold=True)],
            rows,
            width,
        )
    )
    return "\n\n".join([*parts, cautions.SHORT]) + "\n"


def _current(events: CurrentEvents, index: int, words: Words) -> str:
    kind, clock = events.kind[index], words.clock(float(events.t[index]))
    if kind.is_slack:
        return f"slack {clock}"
    name = kind.value.replace("minimum_", "least ")
    knots = abs(float(events.speed[index])) / METRES_PER_SECOND_PER_KNOT
    return f"{name} {clock} {knots:.1f} kn to {events.direction[index]:.0f}"


class Levels(NamedTuple):
    """Levels at even steps: times, metres above datum, and today's departure from them where it is known."""

    t: Array
    height: Array
    departure: Array | None


def levels(place: Place, edges: Array, found: Levels, words: Words, width: int) -> str:
    """Levels, a line a time; `edges` are those of the local days they lie in."""
    t, height, departure = found
    rows = [
        [words.day(words.local(when).date()), words.clock(when), words.number(level, 3)]
        for when, level in zip(t.tolist(), height.tolist(), strict=True)
    ]
    columns = [Column("Day"), Column("Time"), Column(f"Level ({words.units.symbol})", right=True)]
    if departure is not None:
        columns.append(Column("with today's departure", right=True))
        for row, level in zip(rows, (height + departure).tolist(), strict=True):
            row.append(words.number(level, 3))
    parts = [head(place, words, edges.tolist(), width), table(columns, rows, width), cautions.SHORT]
    return "\n\n".join(parts) + "\n"


class SkyDay(NamedTuple):
    """One local day of the sky."""

    day: date
    events: Sequence[SkyEvent]
    sun: DayState
    moon: DayState


_SUN_COLUMNS = (
    ("Dawn", SkyEventKind.CIVIL_DAWN),
    ("Sunrise", SkyEventKind.RISE),
    ("Sunset", SkyEventKind.SET),
    ("Dusk", SkyEventKind.CIVIL_DUSK),
)
_MOON_COLUMNS = (
    ("Moonrise", SkyEventKind.RISE),
    ("Transit", SkyEventKind.UPPER_TRANSIT),
    ("Moonset", SkyEventKind.SET),
    ("Lower transit", SkyEventKind.LOWER_TRANSIT),
)
_SPECIAL = (
    SkyEventKind.NEW_MOON,
    SkyEventKind.FIRST_QUARTER,
    SkyEventKind.FULL_MOON,
    SkyEventKind.LAST_QUARTER,
    SkyEventKind.PERIGEE,
    SkyEventKind.APOGEE,
    SkyEventKind.NORTHMOST,
    SkyEventKind.SOUTHMOST,
)


def sky(place: Place, days: Sequence[SkyDay], edges: Array, words: Words, width: int) -> str:
    """Sun and moon, a line a day, and the moon's special moments below."""
    columns = [Column("Day")] + [Column(name) for name, _ in (*_SUN_COLUMNS, *_MOON_COLUMNS)]
    rows: list[list[str]] = []
    special: list[str] = []
    for item in days:
        row = [words.day(item.day)]
        row += [_times(item, Body.SUN, kind, words) for _, kind in _SUN_COLUMNS]
        row += [_times(item, Body.MOON, kind, words) for _, kind in _MOON_COLUMNS]
        rows.append(row)
        special += [
            f"{words.day(item.day)} {_special(event, words)}"
            for event in item.events
            if event.kind in _SPECIAL
        ]
    parts = [head(place, words, edges.tolist(), width), table(columns, rows, width), *_states(days, words)]
    if special:
        parts.append("\n".join(["Moon", *(f"  {line}" for line in special)]))
    return "\n\n".join([*parts, cautions.SHORT]) + "\n"


def _times(item: SkyDay, body: Body, kind: SkyEventKind, words: Words) -> str:
    times = [event.t for event in item.events if event.body is body and event.kind is kind]
    return " ".join(words.clock(t) for t in times) or "-"


def _states(days: Sequence[SkyDay], words: Words) -> list[str]:
    lines = []
    for state, text in (
        (DayState.UP_ALL_DAY, "The sun does not set"),
        (DayState.DOWN_ALL_DAY, "The sun does not rise"),
    ):
        found = [item.day for item in days if item.sun is state]
        if found:
            lines.append(f"{text}: {words.day(found[0])} to {words.day(found[-1])} ({len(found)} days).")
    return lines


def _special(event: SkyEvent, words: Words) -> str:
    text = words.sky(event)
    if event.unit == "km" and event.value is not None:
        return f"{text}, {event.value:,.0f} km"
    if event.kind in {SkyEventKind.NORTHMOST, SkyEventKind.SOUTHMOST} and event.value is not None:
        return f"{text}, declination {event.value:+.2f} deg"
    return text
