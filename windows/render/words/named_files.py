"""Files of readings that a station file names, as forms speak of them: what is asked, and what was found."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from harmonics.arrays import Array
from harmonics.records.observed import Departure, departure_words
from harmonics.units import DAY, HOUR
from windows.render.words.phrases import Words
from windows.render.words.safe_text import named, plain

if TYPE_CHECKING:
    from harmonics.records.reader import LevelRecord
    from harmonics.records.store import StationRecord
    from harmonics.records.weather import Weather

TITLES: Mapping[str, str] = {
    "record": "Record",
    "readings": "Recent readings",
    "past-weather": "Weather of the record's time",
    "weather": "Weather",
}
CALLED: Mapping[str, str] = {kind: title[0].lower() + title[1:] for kind, title in TITLES.items()}
"""The same in the middle of a sentence."""
USE: Mapping[str, str] = {
    "record": "What the gauge observed, for chance and ranges: a CSV of two months or more, better a year, "
    "with a column of times and one of levels.",
    "readings": "The last days at the gauge, for how the water stands against the tide today: a CSV with a "
    "column of times and one of levels above the station's datum.",
    "past-weather": "What the level answered to: a CSV of wind and pressure of that time, its columns "
    "named as wind_speed [kn], wind_from_direction [degree], air_pressure_at_mean_sea_level [hPa].",
    "weather": "Forecast or observed, for wind, chop and level: a CSV with a column of times and columns "
    "named as wind_speed [kn], wind_from_direction [degree], air_pressure_at_mean_sea_level [hPa].",
}
LABELS: Mapping[str, str] = {
    "zone": "Clock of its times",
    "units": "Unit of its levels",
    "time_column": "Column of times",
    "level_column": "Column of levels",
}
HINTS: Mapping[str, str] = {
    "zone": "Such as UTC or America/Chicago; the shore's where nothing is said",
    "time_column": "Its header, where several would do",
    "level_column": "Its header, where several would do",
}
UNSAID = "Only where the file does not say"
CHOOSE, CHOOSE_OTHER = "The file, of 64 MiB at most", "Another file in its place, of 64 MiB at most"
AGAIN = "Choose the file once more: a form can't keep it."
STOP = "Use it no more"


def title(kind: str, station: str | None) -> str:
    """As Record of Reed Landing."""
    return TITLES[kind] if station is None else f"{TITLES[kind]}, {plain(station)}"


def label(kind: str, station: str | None, known: bool) -> str:
    """Of the way to its form."""
    return title(kind, station) + ("" if known else ": none yet")


def called(kind: str, station: str | None) -> str:
    """What it is called in a sentence."""
    return CALLED[kind] if station is None else f"{CALLED[kind]} of {plain(station)}"


def none_sent(empty: bool) -> str:
    """That no file came with the form, or an empty one."""
    return f"Found {'an empty file' if empty else 'no file'}; expected a CSV file: choose one."


def no_more(kind: str, station: str | None) -> str:
    """That it is named no more."""
    return f"No longer used: {called(kind, station)}."


def saved(kind: str, station: str | None, source: str) -> str:
    """That it was saved, with the name that it was sent under; empty where none was."""
    sent = f", from {plain(source)[:100]}" if source else ""
    return f"Saved: {called(kind, station)}{sent}."


def stays(name: str) -> str:
    """That a file that is not the pages' own is left where it is."""
    return f"{plain(name)} stays in the folder, unused."


def now_read(name: str) -> str:
    """Which file is read."""
    return f"It reads {plain(name)}"


def levels_lines(read: "LevelRecord", words: Words) -> tuple[str, ...]:
    """How many readings there are, of which days, in what unit, and what was put right."""
    count = int((read.level == read.level).sum())  # nan, a gap, equals nothing
    lines = [f"{count:,} readings, {_days(read.t, words)}, in {read.unit}; times by {read.clock}."]
    return (*lines, *(f"{note[:1].upper()}{note[1:]}." for note in read.notes))


def record_lines(found: "StationRecord", deviation: float, gap: float, words: Words) -> tuple[str, ...]:
    """How a record lies against the station's tide.

    Args:
        found: the record.
        deviation: of its residuals, metres.
        gap: the longest, seconds.
        words: of the reader.
    """
    done = found.residuals.cleaning
    lines = ["No gap of more than six hours."]
    if gap:
        longest = f"{gap / DAY:.0f} days" if gap >= 2 * DAY else f"{gap / HOUR:.0f} hours"
        lines = [f"No value in {done.missing:.1%} of its hours; the longest gap is of {longest}."]
    lines.append(
        f"The water departs from the tide by {words.height(deviation, 2)} (standard deviation of its hours)."
    )
    if done.zero:
        side = "above" if done.zero > 0 else "below"
        datum = named(found.station.datum)
        lines.append(f"Its zero lies {words.height(abs(done.zero), 2)} {side} {datum}, which is taken off.")
    if done.flaws:
        lines.append(f"Stretches left out or put right: {len(done.flaws)} (ebblight fit names them).")
    return tuple(lines)


def response_line(found: "StationRecord") -> str:
    """What the weather of a record's time tells."""
    if found.response is None:
        return "Too little of it is of the record's time to learn from, so it moves no level."
    use = "which moves levels" if found.response.used else "too little to be used"
    share = max(found.response.share, 0.0)
    return f"It explains {share:.0%} of what the record was off by, {use}."


def readings_lines(found: Departure | None, now: float, words: Words) -> tuple[str, ...]:
    """How the water stands against the tide by recent readings."""
    return () if found is None else departure_words(found, now, words.units)


def weather_lines(found: "Weather", words: Words) -> tuple[str, ...]:
    """What a file of weather knows, and when."""
    what = ", ".join(quantity.value.replace("_", " ") for quantity in found.values)
    lines = [f"{len(found.t):,} times, {_days(found.t, words)}: {what}."]
    if found.ignored:
        names = ", ".join(map(plain, found.ignored))
        lines.append(f"Columns that nothing is done with: {names}.")
    return tuple(lines)


def _days(t: Array, words: Words) -> str:
    first, last = (words.local(float(t[i])).date() for i in (0, -1))
    if first == last:
        return f"{words.day(first)} {first.year}, {words.clock(float(t[0]))} to {words.clock(float(t[-1]))}"
    return f"{words.day(first)} {first.year} to {words.day(last)} {last.year}"
