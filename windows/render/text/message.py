"""The span in one phone message: its best two sessions in the order they come, and the cautions in short."""

from windows.forecast.reports import Forecast, SessionReport
from windows.render.words import cautions
from windows.render.words.foreseen import chance_short
from windows.render.words.phrases import Words, words_of
from windows.render.words.ranks import best_of_groups
from windows.render.words.safe_text import isolated, short
from windows.render.words.todays import todays_water_short

LONGEST = 499
"""Characters: the message stays under 500, whatever it holds."""
NAME_LENGTH, TITLE_LENGTH = 24, 40
SESSIONS = 2
"""Named in it: the best, and another for who can't go then; of spots that don't compare the best of each."""


def message(forecast: Forecast) -> str:
    """The forecast in fewer than 500 characters, the short cautions last.

    It names the best two sessions in order of time: points and chance, high water, when to leave.
    """
    words = words_of(forecast.head)
    top = [cautions.INVENTED] if forecast.head.invented else []
    top.append(f"{isolated(short(forecast.head.title, TITLE_LENGTH))}, {words.span(forecast)}")
    tops = tuple(item for _, item in best_of_groups(forecast))
    order = (*tops, *(item for item in forecast.ranking if all(item is not top for top in tops)))
    return next(
        text
        for count in range(SESSIONS, -1, -1)
        if len(text := _text(forecast, words, top, order[:count])) <= LONGEST or not count
    )


def _text(forecast: Forecast, words: Words, top: list[str], chosen: tuple[SessionReport, ...]) -> str:
    lines = list(top)
    several = len(forecast.spots) > 1
    if not several:
        lines.append(isolated(short(forecast.spots[0].spot.name, NAME_LENGTH)))
    for item in sorted(chosen, key=lambda item: item.session.start):
        name = next(
            (f", best {group}".rstrip() for group, top in best_of_groups(forecast) if top is item), ""
        )
        lines.append(_line(item, words, several, name))
    left = len(forecast.ranking) - len(chosen)
    if left:
        lines.append(f"and {left} of lower rank")
    if not forecast.ranking:
        lines.append("No window in these days.")
    todays = todays_water_short(forecast, words)
    if todays:
        lines.append(todays)
    return "\n".join([*lines, cautions.SHORT])


def _line(item: SessionReport, words: Words, several: bool, best: str) -> str:
    session = item.session
    starts = words.local(session.start).date()
    place = f" {isolated(short(item.spot.name, NAME_LENGTH))}" if several else ""
    when = words.short_stretch(session.start, session.end, starts)
    points = f"{session.points.total:.0f} points{chance_short(session.chance)}"
    leave = "" if item.leave_by is None else f", leave by {words.day_clock(item.leave_by, starts)}"
    return f"{words.day(starts)} {when}{place}: {points}{_turn(item, words)}{leave}{best}"


def _turn(item: SessionReport, words: Words) -> str:
    """The turn it follows, as ", high 18:19"; a day before is said."""
    turn = item.turn_before
    if turn is None:
        return ""
    starts = words.local(item.session.start).date()
    return f", {'high' if turn.high else 'low'} {words.day_clock(turn.t, starts)}"
