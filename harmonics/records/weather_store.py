"""A file of weather, read once: what it holds is kept in the user's cache folder by its content."""

from datetime import tzinfo
from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np

from harmonics.files.text_files import read_text
from harmonics.records import cache
from harmonics.records.quantities import Quantity
from harmonics.records.weather import WEATHER, Weather, parse_weather

METHOD = "weather 1"
"""Part of every name; another number when reading changes."""


def read_known_weather(path: Path, zone: tzinfo | None = None) -> Weather:
    """As `read_weather`, from the cache where the same text was read before.

    Raises:
        FileProblemsError: the file can't be read, or anything in it is wrong.
    """
    text = read_text(path, WEATHER)
    name = sha256(f"{METHOD} {zone} {sha256(text.encode()).hexdigest()}".encode()).hexdigest()
    kept = cache.load(name)
    found = None if kept is None else _unpacked(str(path), kept)
    if found is None:
        found = parse_weather(text, str(path), zone)
        cache.save(name, _packed(found))
    return found


def _packed(weather: Weather) -> dict[str, Any]:
    return {
        "t": weather.t,
        "quantities": np.array([quantity.value for quantity in weather.values], dtype=str),
        "values": np.array(list(weather.values.values())),
        "made": np.array([] if weather.made is None else [weather.made]),
        "ignored": np.array(weather.ignored, dtype=str),
    }


def _unpacked(path: str, kept: dict[str, Any]) -> Weather | None:
    try:
        t, columns = np.asarray(kept["t"], dtype=float), np.asarray(kept["values"], dtype=float)
        named = zip(map(Quantity, kept["quantities"].tolist()), columns, strict=True)
        made = next(iter(kept["made"].tolist()), None)
        return Weather(path, t, dict(named), made, tuple(kept["ignored"].tolist()))
    except (ValueError, KeyError, TypeError):
        return None
