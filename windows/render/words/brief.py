"""A session in brief, for a first screen: when to leave, the water in a line, and what to mind."""

from typing import NamedTuple

from windows.forecast.reports import DayReport, Note, SessionReport, SpotReport
from windows.render.words.foreseen import THUNDER_SAID, chance_short
from windows.render.words.phrases import Words
from windows.render.words.reasons import light_words, range_words
from windows.render.words.safe_text import named
from windows.shoreline.hours import SunMark
from windows.shoreline.spots import WantedWater

HAZARDS = frozenset({Note.STARTS_DARK, Note.AFTER_DARK, Note.RISING, Note.UNWATCHED})
"""Notes that stand out; the others are reminders."""
MOST_CHIPS = 3
TELLING_LOSS = 10.0
"""Points that water half an hour off must cost to be told on the first screen."""
KEY = "Number: points; filled: best. Above each day night full, twilight half as high, low light framed."
"""How to read a strip of days, in a line."""
SHORT_NOTES = {
    Note.STARTS_DARK: "starts in the dark",
    Note.AFTER_DARK: "ends after dark",
    Note.RISING: "water rising at the end",
    Note.UNWATCHED: "no upper limit of speed here",
    Note.ASSUMED_TURN: "turn assumed: check",
    Note.SHORT: "shorter than you want",
    Note.OVERNIGHT: "past midnight",
}
_WAYS = {
    WantedWater.OUTGOING: ("Out", "Falls"),
    WantedWater.INCOMING: ("In", "Rises"),
    WantedWater.MOVING: ("Moves", "Changes"),
}


class Chip(NamedTuple):
    """A short warning or reminder."""

    text: str
    hazard: bool


def chips(item: SessionReport, words: Words) -> tuple[Chip, ...]:
    """At most three things to mind, hazards first."""
    notes = [note for note in item.notes if note is not Note.OVERNIGHT]
    found = [*_weather(item), *(Chip(SHORT_NOTES[note], True) for note in notes if note in HAZARDS)]
    if item.lead_slips is not None:
        found.append(Chip(f"lead slips from {words.clock(item.lead_slips)}", False))
    session = item.session
    late, early = session.late, session.early
    if min(late, early) <= session.points.total - TELLING_LOSS:
        side, points = ("late", late) if late <= early else ("early", early)
        found.append(Chip(f"water 30 min {side}: {points:.0f}", False))
    found += [Chip(SHORT_NOTES[note], False) for note in notes if note not in HAZARDS]
    return tuple(found[:MOST_CHIPS])


def _weather(item: SessionReport) -> list[Chip]:
    """What the weather brings, where it is known and worth a word."""
    weather, found = item.weather, []
    if weather is None:
        return []
    if weather.thunder is not None and weather.thunder >= THUNDER_SAID:
        found.append(Chip(f"thunder {weather.thunder:.0%}", True))
    if weather.against_ebb:
        found.append(Chip("wind against the ebb", True))
    return found


def leave_words(item: SessionReport, words: Words) -> str:
    """As "Leave by 18:55."; empty where the file does not say how long the way is."""
    leave = item.leave_by
    return "" if leave is None else f"Leave by {words.day_clock(leave, item.day)}."


def water_line(item: SessionReport, words: Words) -> str:
    """As "Out 0.3 to 1.5 kn, level 3.60 to 2.81 m, low light, sunset 21:14."."""
    has_speed = item.flow.has_speed
    way = _WAYS[item.spot.preferences.water][0 if has_speed else 1]
    start, unit = words.movement(item.start.going, has_speed).split(" ")
    most = words.movement(item.strongest.going, has_speed).split(" ")[0]
    amount = most if start == most else f"{start} to {most}"
    level = f"{words.number(item.start.level)} to {words.height(item.end.level)}"
    mark, name = (SunMark.SUNRISE, "sunrise") if item.morning else (SunMark.SUNSET, "sunset")
    sun = f", {name} {words.day_clock(item.sun[mark], item.day)}" if mark in item.sun else ""
    chance = chance_short(item.session.chance)
    return f"{way} {amount} {unit}, level {level}, {light_words(item.session)}{sun}{chance}."


def expected_range(item: SessionReport) -> str:
    """As "82 to 91 in eight cases of ten"."""
    return f"{range_words(item.session)} in eight cases of ten"


def shore_words(t: float, flows: bool, words: Words) -> str:
    """What a sketch of the shore shows."""
    text = "North is up; discs are spots, squares stations, triangles banks. A sketch: not to steer by."
    if flows:
        when = f"{words.day(words.local(t).date())} {words.clock(t)}"
        text += f" Arrows: the flow at {when} where its set is known, the longer the faster; dotted comes in."
    return text


def day_in_brief(day: DayReport, words: Words, placed: bool = False) -> str:
    """As "19:50-21:20, 88 points", of the day's best session, or "19:50-21:20 at Post, 88 points"."""
    best = day.best
    if best is None:
        return "no window"
    when = words.stretch(best.session.start, best.session.end, day.day)
    place = f" at {named(best.spot.name)}" if placed else ""
    return f"{when}{place}, {best.session.points.total:.0f} points"


def days_in_brief(report: SpotReport, words: Words) -> str:
    """What a strip of days shows, for those who do not see it."""
    return "; ".join(f"{words.day(day.day)} {day_in_brief(day, words)}" for day in report.days)


def turns_in_brief(day: DayReport, words: Words) -> str:
    """High and low waters of a day, as "high 18:19 3.93 m, low 12:02 0.71 m"."""
    told = (
        f"{'high' if turn.high else 'low'} {words.clock(turn.t)} {words.height(turn.height)}"
        for turn in day.turns
    )
    return ", ".join(told) or "no high or low water"


def bait_in_brief(day: DayReport, words: Words) -> str:
    """When the bait of a day's sessions is gathered, each time once, as "Bait Sun 9 Aug 18:16-19:36."."""
    found = [item.bait.window for item in day.sessions if item.bait is not None]
    when = dict.fromkeys(words.stretch(item.start, item.end, day.day) for item in found if item is not None)
    return f"Bait {', '.join(when)}." if when else ""


def sun_in_brief(day: DayReport, report: SpotReport, words: Words) -> str:
    """As "sun 05:51 to 21:13"; what does not happen is left out."""
    found = (day.sun.get(mark) for mark in (SunMark.SUNRISE, SunMark.SUNSET))
    rise, fall = (None if t is None else words.clock(t) for t in found)
    if rise and fall:
        return f"sun {rise} to {fall}"
    if rise or fall:
        return f"sunrise {rise}" if rise else f"sunset {fall}"
    return "sun up all day" if report.sun_stays_up(day) else "sun down all day"


def clock_of(zone: str) -> str:
    """Whose clock a picture's times are."""
    return f"Clock of {zone}."


def not_drawn(spots: int) -> str:
    """That a picture has not all spots."""
    return f"{spots} more spots are not drawn."
