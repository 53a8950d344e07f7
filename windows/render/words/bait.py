"""Where and when to gather bait for a session, and how it keeps until then, by its kind."""

from windows.conditions.bait import KEEPS, BankState
from windows.forecast.reports import BaitReport, SessionReport
from windows.render.words.phrases import Words
from windows.render.words.safe_text import named
from windows.shoreline.spots import BaitKind

OVERNIGHT = {
    BaitKind.CRAB: "; crabs keep overnight in damp weed or a bucket",
    BaitKind.WORM: "; worms keep overnight in cool, damp weed or newspaper",
    BaitKind.SHRIMP: "; shrimp keep overnight in aerated water",
    BaitKind.OTHER: "; it must keep overnight",
}
"""Common practice."""
BURROWS = 15.0
"""Degrees Celsius of the water (common practice)."""


def bait_words(report: SessionReport, bait: BaitReport, words: Words) -> str:
    """One sentence on the bait of a session."""
    bank, window = bait.bank, bait.window
    name = named(bank.name)
    if bait.state in {BankState.NEVER_BARES, BankState.ABOVE_HIGH_WATER}:
        return f"No bait from {name}: the bank {bait.state.value}."
    if window is None:
        hours = f"of the {KEEPS / 3600:.0f} h before"
        if bank.bait is BaitKind.SHRIMP:
            return f"No bait from {name}: none {hours} is an ebb in the dark."
        return f"No bait from {name}: it bares in daylight at no low water {hours}."
    start, end = words.day_clock(window.start, report.day), words.day_clock(window.end, report.day)
    text = (
        f"Bait at {name} {start} ({window.opened_by.value}) to {end} ({window.closed_by.value}), "
        f"{(report.start.t - window.end) / 3600:.0f} h before the session begins"
    )
    if words.local(window.end).date() != words.local(report.start.t).date():
        text += OVERNIGHT[bank.bait]
    if bank.warm_only:
        text += burrows(bait.temperature)
    return text + "."


def burrows(temperature: float | None) -> str:
    """Whether crabs are about; common practice."""
    if temperature is None:
        return f"; below about {BURROWS:g} °C crabs stay in their burrows"
    if temperature < BURROWS:
        return f"; at {temperature:.0f} °C crabs will mostly stay in their burrows"
    return f"; at {temperature:.0f} °C crabs are about"
