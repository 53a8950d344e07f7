"""What is known beyond astronomy, in words: said in every format, never silently."""

from typing import TYPE_CHECKING

from harmonics.stations.types import Station, primary_of
from windows.forecast.reports import Forecast
from windows.render.words.foreseen import known_words
from windows.render.words.phrases import Words
from windows.render.words.safe_text import named

if TYPE_CHECKING:
    from harmonics.records.observed import Departure


def todays_water(forecast: Forecast, words: Words) -> tuple[str, ...]:
    """Sentences on readings carried forward, records and weather; empty without any."""
    sentences: list[str] = []
    for station, found in _stations(forecast):
        from harmonics.records.observed import departure_words

        lines = departure_words(found, forecast.made_at, words.units)
        sentences += [f"{named(station.name)}: {lines[0]}", *lines[1:]]
    return (*sentences, *known_words(forecast, words))


def todays_water_short(forecast: Forecast, words: Words) -> str:
    """The same in a few words for a message; empty without readings."""
    parts = [
        f"{words.number(found.height, 2)} {words.units.symbol} at {words.clock(found.newest)}"
        for _, found in _stations(forecast)
    ]
    return f"Water against the tide: {', '.join(parts)}" if parts else ""


def _stations(forecast: Forecast) -> "list[tuple[Station, Departure]]":
    found: dict[str, tuple[Station, Departure]] = {}
    for report in forecast.spots:
        if report.departure is not None:
            station = primary_of(report.spot.station)
            found[station.id] = station, report.departure
    return list(found.values())
