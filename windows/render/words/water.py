"""How the water moves in a session, in words: where in the tide it starts, and its flow at three moments."""

from collections.abc import Sequence

from windows.forecast.reports import Reading
from windows.render.words.going import Going
from windows.render.words.phrases import Words


def starts_in_tide(hours: float) -> str:
    """As "Starts 0.6 h after", for a high water to follow; hours from it, less than 0 before it."""
    shown = f"{abs(hours):.1f}"
    if float(shown) == 0.0:
        return "Starts at"
    return f"Starts {shown} h {'before' if hours < 0.0 else 'after'}"


def running(readings: Sequence[Reading], has_speed: bool, way: Going, words: Words) -> str:
    """As "water runs out at 0.5, 0.8, 0.7 kn", or of a level "water falls 0.20, 0.31, 0.25 ft/h"."""
    shown = [words.movement(item.going, has_speed).split(" ") for item in readings]
    verb = way.runs if has_speed else way.changes
    return f"water {verb} {', '.join(number for number, _ in shown)} {shown[0][1]}"
