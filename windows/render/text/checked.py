"""What `check` says beside the meaning of a file: what is worth a look, and today's water to compare."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from harmonics.units import HOUR
from windows.forecast.days_waters import DaysWaters
from windows.render.text.layout import paragraph
from windows.render.words.phrases import Words
from windows.shoreline.plausible.findings import Finding
from windows.shoreline.plausible.said import sentence_of

if TYPE_CHECKING:
    from harmonics.records.store import StationRecord


def worth_a_look(found: Sequence[Finding], words: Words, width: int) -> str:
    """What is odd, a paragraph each; empty where nothing is."""
    lines = [paragraph(sentence_of(finding, words.units), width, hanging=2) for finding in found]
    return "\n".join(["Worth a look", *lines]) if lines else ""


def records_found(
    found: "Mapping[str, StationRecord]", files: Mapping[str, str], words: Words, width: int
) -> str:
    """How long each station's record is, what is missing, and where its zero lies; empty without one."""
    lines = [paragraph(_record(item, files[name], words), width, hanging=2) for name, item in found.items()]
    return "\n".join(["Records", *lines]) if lines else ""


def _record(found: "StationRecord", file: str, words: Words) -> str:
    residuals, done = found.residuals, found.residuals.cleaning
    first, last = (words.local(t).date() for t in (residuals.start, residuals.end - HOUR))
    text = (
        f"{found.station.id}: {file}, {words.day(first)} {first.year} to {words.day(last)} {last.year}, "
        f"{done.days:.0f} days; no value in {done.missing:.1%} of its hours"
    )
    if done.zero:
        side = "above" if done.zero > 0 else "below"
        text += f"; its zero lies {words.height(abs(done.zero), 2)} {side} {found.station.datum}, taken off"
    if done.flaws:
        text += f"; stretches left out or put right: {len(done.flaws)} (ebblight fit names them)"
    return f"{text}."


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
