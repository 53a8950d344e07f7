"""What `check` says beside the meaning of a file: what is worth a look, and today's water to compare."""

from collections.abc import Sequence

from windows.forecast.days_waters import DaysWaters
from windows.render.text.layout import paragraph
from windows.render.words.phrases import Words
from windows.shoreline.plausible.findings import Finding
from windows.shoreline.plausible.said import sentence_of


def worth_a_look(found: Sequence[Finding], words: Words, width: int) -> str:
    """What is odd, a paragraph each; empty where nothing is."""
    lines = [paragraph(sentence_of(finding, words.units), width, hanging=2) for finding in found]
    return "\n".join(["Worth a look", *lines]) if lines else ""


def todays_waters(found: DaysWaters, words: Words, width: int) -> str:
    """High and low waters of each station, to hold beside a printed table; empty without a station."""
    head, *lines = waters_lines(found, words) or ("",)
    return "\n".join([paragraph(head, width), *(paragraph(line, width, hanging=2) for line in lines)])


def waters_lines(found: DaysWaters, words: Words) -> tuple[str, ...]:
    """The same, a line each under their head; nothing without a station."""
    if not found.turns:
        return ()
    day = f"{words.day(found.day)} {found.day.year}"
    head = f"High and low waters of {day}, to hold beside a printed table ({words.zone_words([found.start])})"
    lines = []
    for station, turns in found.turns:
        told = [
            f"{'high' if high else 'low'} {words.clock(float(t))} {words.height(float(height), 2)}"
            for t, height, high in zip(turns.t, turns.height, turns.high, strict=True)
        ]
        lines.append(f"{station.id}: {', '.join(told) or 'none this day'}")
    return (head, *lines)
