"""Chance, ranges and weather of a session in words, and where they come from."""

import math
from typing import TYPE_CHECKING

from harmonics.stations.types import primary_of
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.conditions.scoring import Conditions
from windows.forecast.reports import Forecast, SessionReport
from windows.render.words import cautions
from windows.render.words.phrases import Words
from windows.render.words.safe_text import named

if TYPE_CHECKING:
    from harmonics.records.store import StationRecord
    from harmonics.records.weather import Weather
    from windows.forecast.foreseen import SessionWeather

THUNDER_SAID = 0.1
"""A chance of thunder that is worth a word: services print it in tens (common practice)."""
_COMPASS = "N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW".split()
SEASON_SAID = 46.0
"""Days: stretches from farther away are not of the season, and that is said."""


def chance_words(report: SessionReport, words: Words) -> list[str]:
    """How often such a session came true in the gauge's record, and how far its numbers may be off."""
    told = report.session.seen
    if told is None:
        return []
    level = f"{words.number(told.level_low)} and {words.height(told.level_high)}"
    return [
        f"In the gauge's record such water came true in {hundred(told.chance)} of 100 like cases; in eight "
        f"of ten it stood between {level} at {words.clock(report.peak.t)}."
    ]


def hundred(chance: float) -> str:
    """A chance as cases of a hundred; no record shows that something never or always comes."""
    whole = round(100.0 * chance)
    return "fewer than 1" if whole == 0 else "more than 99" if whole == 100 else str(whole)


def chance_cell(chance: float | None) -> str:
    """A chance in a cell: as 85 %, < 1 %, > 99 %; empty where nobody knows it."""
    if chance is None:
        return ""
    whole = round(100.0 * chance)
    return "< 1 %" if whole == 0 else "> 99 %" if whole == 100 else f"{whole} %"


def chance_short(chance: float | None) -> str:
    """The same after points: ", chance 85 %"; empty where nobody knows it."""
    return "" if chance is None else f", chance {chance_cell(chance)}"


def chance_beside(chance: float | None) -> str:
    """The same beside a stretch: " (chance 85 %)"; empty where nobody knows it."""
    return "" if chance is None else f" (chance {chance_cell(chance)})"


def unknown_chance(forecast: Forecast) -> str:
    """What would tell how often such water comes, in a sentence; empty where every gauge has a record."""
    known = {primary_of(item.spot.station): item.conditions.record is not None for item in forecast.spots}
    without = [station.name for station, has_record in known.items() if not has_record]
    if not without:
        return ""
    where = "" if len(without) == len(known) else f" at {' and '.join(map(named, without))}"
    return (
        f"How often such water comes{where} is not known: two months or more of the gauge's observed levels, "
        "as the record of its station, would tell (ebblight guide records)."
    )


def weather_words(report: SessionReport, words: Words) -> list[str]:
    """Wind, chop, thunder and temperatures of a session, as far as they are known."""
    weather = report.weather
    if weather is None:
        return []
    parts = [part for part in (_wind(weather), _chop(weather, words), *_rest(weather)) if part]
    lines = [f"Weather: {'; '.join(parts)}."] if parts else []
    lines += _unlike_the_fish(report, weather)
    if weather.against_ebb:
        lines.append(
            "Wind against the ebb: short, steep seas, most where the ebb is strongest; small boats stay out."
        )
    if weather.thunder is not None and weather.thunder >= THUNDER_SAID:
        lines.append("Thunder: leave the water at the first, and wait 30 minutes after the last.")
    return lines


def _wind(weather: "SessionWeather") -> str:
    if weather.wind is None:
        return ""
    known = "" if weather.whole else ", unknown for a part of it"
    return wind_words(weather.wind, weather.gust, weather.wind_from) + known


def wind_words(speed: float, gust: float | None, whence: float | None) -> str:
    """As wind up to 14 kn from SW, gusts 22."""
    direction = "" if whence is None else f" from {compass(whence)}"
    gusts = "" if gust is None else f", gusts {_knots(gust)}"
    return f"wind up to {_knots(speed)} kn{direction}{gusts}"


def compass(degrees: float) -> str:
    """The nearest of 16 points."""
    return _COMPASS[round(degrees / 22.5) % 16]


def _chop(weather: "SessionWeather", words: Words) -> str:
    if weather.chop is None:
        return ""
    low, high = (words.number(value) for value in weather.chop)
    return (
        f"chop up to {low} to {high} {words.units.symbol}" if weather.chop[1] > 0 else "no chop to speak of"
    )


def _rest(weather: "SessionWeather") -> list[str]:
    parts = []
    if weather.thunder is not None:
        parts.append(f"thunder {weather.thunder:.0%}")
    temperatures = (("air", weather.air), ("water", weather.water))
    parts += [f"{what} {value:.0f} °C" for what, value in temperatures if value is not None]
    return parts


def _unlike_the_fish(report: SessionReport, weather: "SessionWeather") -> list[str]:
    """Water colder or warmer than the fish likes."""
    wanted = report.spot.preferences
    if wanted.temperature is None or weather.water is None:
        return []
    low, high = wanted.temperature
    if low <= weather.water <= high:
        return []
    how = "colder" if weather.water < low else "warmer"
    fish = "the fish you are after" if wanted.quarry is None else named(wanted.quarry)
    return [f"The water, {weather.water:.0f} °C, is {how} than the {low:g} to {high:g} °C of {fish}."]


def _knots(speed: float) -> str:
    return f"{speed / METRES_PER_SECOND_PER_KNOT:.0f}"


def known_words(forecast: Forecast, words: Words) -> tuple[str, ...]:
    """What record and weather the forecast rests on, in sentences; empty without."""
    lines: list[str] = []
    told: set[str] = set()
    for report in forecast.spots:
        conditions = report.conditions
        record = conditions.record
        if record is None or record.station.id in told:
            continue
        told.add(record.station.id)
        lines.append(_record_words(conditions, record))
        response = record.response
        if response is not None:
            use = "which moves levels here" if response.used else "too little to be used"
            share = max(response.share, 0.0)
            lines.append(f"Past weather explains {share:.0%} of what the record was off by, {use}.")
    weather = weather_of(forecast)
    if weather is not None and len(weather.t):
        first, last = (words.local(float(t)) for t in (weather.t[0], weather.t[-1]))
        lines.append(
            f"Weather from the file made {made_words(forecast, words)}, known {words.day(first.date())} "
            f"{first:%H:%M} to {words.day(last.date())} {last:%H:%M}; beyond that it is unknown and shuts "
            "nothing."
        )
    return tuple(lines)


def _record_words(conditions: Conditions, record: "StationRecord") -> str:
    from windows.conditions.record_cases import RecordCases

    text = f"{named(record.station.name)}: a record of {record.residuals.cleaning.days:.0f} days"
    cases = conditions.cases
    if not isinstance(cases, RecordCases):
        return f"{text}, but no chance: {conditions.no_chance}."
    away = f"; not of the season, up to {math.ceil(cases.away)} days away" if cases.away > SEASON_SAID else ""
    return f"{text} gives chance and ranges, by {min(map(len, cases.blocks))} stretches or more{away}."


def weather_of(forecast: Forecast) -> "Weather | None":
    """The weather a forecast knows of: the same at all its spots."""
    known = forecast.spots[0].conditions if forecast.spots else None
    return None if known is None else known.weather


def made_words(forecast: Forecast, words: Words) -> str | None:
    """When the weather's file was made, by the reader's clock; None without weather."""
    weather = weather_of(forecast)
    if weather is None:
        return None
    made = weather.made
    if made is None:
        return "at an unknown time"
    local = words.local(made)
    return f"{words.day(local.date())} {local:%H:%M}"


def full_cautions(forecast: Forecast, words: Words) -> tuple[str, ...]:
    """Every caution, with the weather's file where there is one."""
    return cautions.full(made_words(forecast, words))


def not_considered(forecast: Forecast, words: Words) -> str:
    """What the points leave out, with the weather's file where there is one."""
    return cautions.unseen(made_words(forecast, words))
