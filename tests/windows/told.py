"""Pieces of files that tell a spot's flow and banks, and the problems of a whole file."""

import pytest

from harmonics.errors import FileProblemsError
from windows.shoreline.shore import read_shore

TIDE = [("M2", 1.2, 100.0), ("S2", 0.4, 140.0)]
CURRENT = """
[[currents]]
id = "race"
name = "Race"
latitude = 45.0
longitude = 0.0
flood_direction = 40
ebb_direction = 215
constituents = [{ name = "M2", amplitude = 2.0, phase = 60.0 }]
"""
BANK = """
[[banks]]
id = "{id}"
name = "{id}"
station = "gauge"
bare_below = {level}
"""


def bank(identifier="flat", level=0.9, more=""):
    return BANK.format(id=identifier, level=level) + more + "\n"


def problems_of(folder, text):
    """The problems of a file, as lines."""
    path = folder / "shore.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FileProblemsError) as caught:
        read_shore(path)
    assert str(caught.value).startswith(f"{path}: {len(caught.value.problems)} problem")
    return [str(problem) for problem in caught.value.problems]
