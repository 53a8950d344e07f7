"""The water of this minute in words."""

from windows.forecast.now import SpotNow
from windows.render.words.foreseen import chance_short
from windows.render.words.gates import WORDS
from windows.render.words.phrases import Words


def moves(item: SpotNow, words: Words) -> str:
    """As "out, 0.8 kn", or of a level alone "falls 0.45 ft/h"."""
    has_speed = item.report.flow.has_speed
    size = words.movement(abs(item.outgoing), has_speed)
    if not size.split(" ", maxsplit=1)[0].strip("0."):
        return "slack"
    if has_speed:
        return f"{'out' if item.outgoing > 0 else 'in'}, {size}"
    return f"{'falls' if item.outgoing > 0 else 'rises'} {size}"


def since_until(item: SpotNow, words: Words) -> tuple[str, str]:
    """Clock times of the turns of the flow before and after; "-" where there is none for days."""
    today = words.local(item.reading.t).date()
    before, after = (
        "-" if slack is None else words.day_clock(slack.t, today) for slack in (item.since, item.until)
    )
    return before, after


def span_of_time(seconds: float) -> str:
    """As "1 h 05 min" or "40 min"."""
    minutes = int(seconds // 60)
    return f"{minutes // 60} h {minutes % 60:02d} min" if minutes >= 60 else f"{minutes} min"


def what_to_do(item: SpotNow, words: Words) -> str:
    """The window one is in and what is left of it, else why not and the next session."""
    today = words.local(item.reading.t).date()
    if item.window is not None and item.left is not None:
        stretch = words.stretch(item.window.start, item.window.end, today)
        return f"good now: {span_of_time(item.left)} left of {stretch}{chance_short(item.chance)}"
    shut = f"shut: {WORDS[type(item.shut)].shut}; " if item.shut is not None else ""
    return f"{shut}{next_session(item, words)}"


def next_session(item: SpotNow, words: Words) -> str:
    """As "next 18:05-20:05, 84 points, chance 85 %, leave by 17:20"."""
    today = words.local(item.reading.t).date()
    report = item.next
    if report is None:
        return "no session in the coming week"
    session = report.session
    leave = "" if report.leave_by is None else f", leave by {words.day_clock(report.leave_by, today)}"
    stretch = words.stretch(session.start, session.end, today)
    points = f"{session.points.total:.0f} points{chance_short(session.chance)}"
    return f"next {stretch}, {points}{leave}"


def depth_words(item: SpotNow, words: Words) -> str:
    """As ", depth 3.20 m"; empty where nobody knows it."""
    depth = item.reading.depth
    return "" if depth is None else f", depth {words.height(depth)}"
