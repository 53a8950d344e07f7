"""How the water moves in a session, in words: where in the tide it starts, and its flow at three moments."""

from collections.abc import Sequence
from itertools import groupby

from windows.forecast.reports import Reading
from windows.render.words.phrases import Words


def starts_in_tide(hours: float) -> str:
    """As "Starts 0.6 h after", for a high water to follow; hours from it, less than 0 before it."""
    shown = f"{abs(hours):.1f}"
    if float(shown) == 0.0:
        return "Starts at"
    return f"Starts {shown} h {'before' if hours < 0.0 else 'after'}"


def running(readings: Sequence[Reading], has_speed: bool, words: Words) -> str:
    """As "water comes in at 0.2 kn, then runs out at 0.5, 0.8 kn", or of a level "water falls 0.20 ft/h"."""
    going_out, coming_in = ("runs out at", "comes in at") if has_speed else ("falls", "rises")
    shown = [(words.movement(abs(item.outgoing), has_speed).split(" "), item.outgoing) for item in readings]
    unit = shown[0][0][1]
    parts = [
        f"{coming_in if inward else going_out} {', '.join(number for (number, _), _ in group)} {unit}"
        for inward, group in groupby(shown, key=lambda item: item[1] < 0.0 and float(item[0][0]) > 0.0)
    ]
    return f"water {', then '.join(parts)}"
