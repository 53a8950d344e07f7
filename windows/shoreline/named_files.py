"""Files of readings that a station file names: which keys name them, and what a copy beside it is called."""

import hashlib
import os
import re
from collections.abc import Mapping
from enum import Enum, unique
from pathlib import Path
from typing import Any, NamedTuple

from harmonics.files.checking import Table
from harmonics.files.parts import holds
from windows.shoreline.additions import Edit, added, changed, removed
from windows.shoreline.ids import identifier_of

WEATHER = "weather"
DIGITS = 10
"""Of the digest in a copy's name: enough that two files of one station never share one."""
LONGEST_STEM = 40
_COPY = re.compile(rf".+-([0-9a-f]{{{DIGITS}}})\.csv")


@unique
class Named(Enum):
    """What such a file holds; the value stands in addresses and in the names of copies."""

    RECORD = "record"
    READINGS = "readings"
    PAST_WEATHER = "past-weather"
    WEATHER = "weather"

    @property
    def of_station(self) -> bool:
        """Whether a station's table names it."""
        return self is not Named.WEATHER


_KEYS = {Named.RECORD: "record", Named.READINGS: "observed", Named.PAST_WEATHER: "record_weather"}


class NamedFile(NamedTuple):
    """One of them.

    Attributes:
        kind: what it holds.
        station: place of its table in the list of stations; None for the file's weather.
    """

    kind: Named
    station: int | None = None

    @property
    def where(self) -> str:
        """Path of the key that names it."""
        return WEATHER if self.station is None else f"stations[{self.station}].{_KEYS[self.kind]}"

    def table(self, document: Mapping[str, Any]) -> Mapping[str, Any] | None:
        """The table of its station, or the head; None where no such file can be named."""
        if self.station is None:
            return document
        listed = document.get("stations")
        found = listed[self.station] if isinstance(listed, list) and self.station < len(listed) else None
        if not isinstance(found, dict) or "reference" in found:
            return None
        return None if self.kind is Named.PAST_WEATHER and "record" not in found else found

    def keys(self, document: Mapping[str, Any]) -> dict[str, Any]:
        """The keys that go with it, `file` among them; empty where none is named."""
        found = (self.table(document) or {}).get(_KEYS.get(self.kind, WEATHER))
        return dict(found) if isinstance(found, dict) else {} if found is None else {"file": found}

    def model(self) -> type[Table] | None:
        """The model of those keys; None where there is but the name."""
        from harmonics.files.record_source import RecordTable
        from windows.shoreline.weather_file import WeatherTable

        if self.kind is Named.RECORD:
            return RecordTable
        return WeatherTable if self.kind is Named.WEATHER else None

    def put(self, path: str, text: str, document: Mapping[str, Any], keys: Mapping[str, Any]) -> Edit:
        """The station file's text with that file named.

        Args:
            path: the station file as the user named it.
            text: of it.
            document: the same as it stands.
            keys: `file`, and what goes with it.

        Raises:
            FileProblemsError: as for `additions.changed`.
        """
        if self.station is not None:
            value = dict(keys) if self.model() is not None else keys["file"]
            return changed(path, text, "stations", self.station, {_KEYS[self.kind]: value})
        if WEATHER not in document:
            return added(path, text, WEATHER, keys)
        gone = {key: None for key in self.keys(document) if key not in keys}
        return changed(path, text, WEATHER, None, {**gone, **keys})

    def taken_out(self, path: str, text: str) -> Edit:
        """The text without it, a record's weather gone with the record; errors as for `put`."""
        if self.station is None:
            return removed(path, text, WEATHER, None)
        keys = [_KEYS[self.kind]] + ([_KEYS[Named.PAST_WEATHER]] if self.kind is Named.RECORD else [])
        return changed(path, text, "stations", self.station, dict.fromkeys(keys))

    def copy_name(self, path: Path, document: Mapping[str, Any], data: bytes) -> str:
        """What a copy of data is called: letters that every system takes, another name for other data.

        Args:
            path: of the station file, which it lies beside; what has other bytes there is in nobody's way.
            document: the station file as it stands.
            data: all that the copy holds.
        """
        digest, stem = hashlib.sha256(data).hexdigest(), self._stem(path, document)
        names = [f"{stem}{digest[at : at + DIGITS]}.csv" for at in range(0, len(digest) - DIGITS, DIGITS)]
        return next((name for name in names if _free(path.parent / name, data)), names[0])

    def copies(self, path: Path, document: Mapping[str, Any]) -> tuple[str, ...]:
        """Names of all its copies beside the station file, those that a killed writer left with them."""
        stem = self._stem(path, document)
        return tuple(item.name for item in path.parent.glob(f"{stem}*.csv") if _COPY.fullmatch(item.name))

    def _stem(self, path: Path, document: Mapping[str, Any]) -> str:
        owner = path.stem if self.station is None else str((self.table(document) or {}).get("id"))
        return f"{identifier_of(owner)[:LONGEST_STEM].strip('-')}-{self.kind.value}-"


def named_files(document: Mapping[str, Any]) -> tuple[NamedFile, ...]:
    """All that a station file may name, its stations in order."""
    listed = document.get("stations")
    places = range(len(listed) if isinstance(listed, list) else 0)
    found = (NamedFile(kind, place) for place in places for kind in Named if kind.of_station)
    return (*(item for item in found if item.table(document) is not None), NamedFile(Named.WEATHER))


def is_copy(path: Path) -> bool:
    """Whether a file is a copy under its name by `copy_name`, and nobody has changed it since."""
    match = _COPY.fullmatch(path.name)
    if match is None or path.is_symlink() or not path.is_file():
        return False
    with path.open("rb") as stream:
        return match[1] in hashlib.file_digest(stream, "sha256").hexdigest()


def _free(place: Path, data: bytes) -> bool:
    """Whether a copy of data may stand there, or does."""
    return not os.path.lexists(place) or (holds(place, data) and not place.is_symlink())
