"""The user's cache folder: arrays under a name made of all that they depend on.

Nothing there can go stale, and nothing is lost when the folder is: what is missing, damaged or in a folder
that can't be read is made again.
"""

import zlib
from collections.abc import Mapping
from contextlib import suppress
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

import numpy as np

from harmonics.files.parts import clear_parts, part_for

MOST_KEPT = 64
"""Files in the folder; the oldest go. Ten years of hours are 700 kB."""
PERMISSIONS = 0o600
"""Of a file there: its user's alone."""


def place_of(name: str) -> Path | None:
    """Where arrays of that name are kept; None where the machine has no folder for such."""
    with suppress(OSError, RuntimeError):
        from platformdirs import user_cache_path

        return user_cache_path("ebblight", appauthor=False) / "records" / f"{name}.npz"
    return None


def load(name: str) -> dict[str, Any] | None:
    """Arrays kept under that name; None where there are none, or not whole."""
    place = place_of(name)
    if place is None:
        return None
    try:
        with np.load(BytesIO(place.read_bytes()), allow_pickle=False) as kept:
            return {key: kept[key] for key in kept.files}
    except (OSError, ValueError, KeyError, TypeError, EOFError, AttributeError, BadZipFile, zlib.error):
        return None


def save(name: str, arrays: Mapping[str, Any]) -> None:
    """Keep arrays, whole or not at all; a folder that can't be written costs time, nothing else."""
    place = place_of(name)
    if place is None:
        return
    content = BytesIO()
    np.savez_compressed(content, **arrays)
    with suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True)
        clear_parts(place.parent)
        with part_for(place, clear=False) as part:
            part.stream.write(content.getvalue())
            part.put(place, PERMISSIONS)
        others = [path for path in place.parent.glob("*.npz") if path != place]
        kept = sorted(others, key=lambda path: path.stat().st_mtime)
        for path in kept[: 1 - MOST_KEPT]:
            path.unlink(missing_ok=True)
