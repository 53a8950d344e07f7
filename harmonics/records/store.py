"""Records as a station file names them, and what was made of them kept in the user's cache folder.

Cleaning a record takes a second or two, so its residuals are kept under a name made of all that they depend
on: the file's text, how it is read, and the station's constants. Nothing there can go stale, and nothing is
lost when the folder is.
"""

import os
import tempfile
import zlib
from contextlib import suppress
from dataclasses import dataclass
from datetime import tzinfo
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from harmonics.files.text_files import read_text
from harmonics.records.residuals import Cleaning, Flaw, Residuals
from harmonics.stations.types import Station
from harmonics.units import LengthUnit

METHOD = "1"
"""Part of every name; another number when cleaning changes."""
MOST_KEPT = 64
"""Files in the folder; the oldest go. Ten years of hours are 700 kB."""


@dataclass(frozen=True, slots=True)
class RecordFile:
    """A file of observed levels, and how to read it.

    Attributes:
        path: the file.
        unit: of its levels; None where its header says.
        zone: of its clock; None where its stamps or its header say.
        time_column, level_column: headers; None where there is but one of each kind.
    """

    path: Path
    unit: LengthUnit | None = None
    zone: tzinfo | None = None
    time_column: str | None = None
    level_column: str | None = None


def read_residuals(station: Station, record: RecordFile) -> Residuals:
    """Residuals of a record against a station's constants, from the cache where they are known already.

    Raises:
        FileProblemsError: the file can't be read, or something in it is wrong.
        EbblightError: the record is too short, or not of this station.
    """
    text = read_text(record.path, "a CSV file of times and levels")
    place = _place(_name(station, record, text))
    found = None if place is None else _load(place)
    if found is not None:
        return found
    from harmonics.records.cleaning import residuals_of
    from harmonics.records.reader import parse_record

    read = parse_record(
        text,
        str(record.path),
        unit=record.unit,
        zone=record.zone,
        time_column=record.time_column,
        level_column=record.level_column,
    )
    made = residuals_of(station, read.t, read.level, str(record.path))
    if place is not None:
        _save(place, made)
    return made


def _name(station: Station, record: RecordFile, text: str) -> str:
    constants = station.constants
    digest = sha256(text.encode())
    reading = (record.unit, record.zone, record.time_column, record.level_column)
    names = tuple(row.name for row in constants.constituents)
    digest.update(repr((METHOD, reading, names, station.practice.value, station.mean_level)).encode())
    digest.update(np.ascontiguousarray(constants.amplitude).tobytes())
    digest.update(np.ascontiguousarray(constants.phase_lag).tobytes())
    return digest.hexdigest()


def _place(name: str) -> Path | None:
    """Where residuals of that name are kept; None where the machine has no folder for such."""
    with suppress(OSError, RuntimeError, ImportError):
        from platformdirs import user_cache_path

        return user_cache_path("ebblight", appauthor=False) / "residuals" / f"{name}.npz"
    return None


def _load(place: Path) -> Residuals | None:
    """What is kept there; None where there is nothing, or nothing whole."""
    try:
        with np.load(BytesIO(place.read_bytes()), allow_pickle=False) as kept:
            start, days, missing, zero = (float(value) for value in kept["numbers"])
            level = np.asarray(kept["level"], dtype=float)
            flaws = tuple(
                Flaw(str(kind), *(float(value) for value in numbers))
                for kind, numbers in zip(kept["kinds"], kept["flaws"].reshape(-1, 3), strict=True)
            )
    except (OSError, ValueError, KeyError, TypeError, EOFError, MemoryError, BadZipFile, zlib.error):
        return None
    return Residuals(start, level, Cleaning(days, missing, zero, flaws)) if level.ndim == 1 else None


def _save(place: Path, made: Residuals) -> None:
    """Keep residuals, whole or not at all; a folder that can't be written costs time, nothing else."""
    done = made.cleaning
    content = BytesIO()
    np.savez_compressed(
        content,
        numbers=np.array([made.start, done.days, done.missing, done.zero]),
        level=made.level,
        kinds=np.array([flaw.kind for flaw in done.flaws], dtype=str),
        flaws=np.array([(flaw.start, flaw.end, flaw.size) for flaw in done.flaws], dtype=float),
    )
    with suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=place.parent, suffix=".part")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(content.getvalue())
            os.replace(temporary, place)
        except OSError:
            Path(temporary).unlink(missing_ok=True)
            raise
        _prune(place.parent)


def _prune(folder: Path) -> None:
    kept = sorted(folder.glob("*.npz"), key=lambda path: path.stat().st_mtime)
    for path in kept[:-MOST_KEPT]:
        path.unlink(missing_ok=True)
