"""Which column of a table holds the level: by CF standard names, by the words of its header, and by its unit.

Names: CF conventions, standard name table (cfconventions.org). What is named or measured as something else is
never a level, whatever other words stand in its header; of several that may be, none is guessed, but that one
is verified where another is not.
"""

import re

from harmonics.errors import Problem
from harmonics.records.columns import named_column, words_of
from harmonics.records.quantities import SCALES, Quantity
from harmonics.units import LENGTH_WORDS

LEVEL_HEADER = re.compile(r"(?i)\b(level|levels|height|heights|water|elevation|stage|sealevel|wl|tide)\b")
STANDARD = re.compile(
    r"\b(?:(?:sea|water) surface (?:height|elevation)|(?:sea|water) surface height above [a-z ]+|"
    r"tidal sea surface height above [a-z ]+|sea level)\b"
)
"""CF standard names and aliases of the level of the sea or a river, as words; the unit may follow."""
OTHER = re.compile(
    r"\b(?:pressure|barometer|temperature|temp|wind|gust|gusts|humidity|rain|precipitation|thunderstorm|radiation|"
    r"salinity|salt|conductivity|turbidity|density|oxygen|velocity|speed|direction|wave|waves|swell|significant|"
    r"cloud|ceiling|air|quality|flag|flags|qc|sigma|error|uncertainty|deviation|count)\b"
)
"""Words of what is no level, though it may be at sea level or of the water."""
COMPUTED = re.compile(r"\b(?:predicted|prediction|predictions|forecast|tidal|astronomical|residual|surge)\b")
"""Words of a level that nobody observed: taken only where there is no other."""
LENGTHS = {*LENGTH_WORDS, "cm", "mm"}
FOREIGN = {
    spelling.lower()
    for quantity, scale in SCALES.items()
    if quantity is not Quantity.PRECIPITATION
    for spelling in scale.units
} | {"dbar", "bar", "psu", "ppt", "mg/l", "ntu"}
"""Units of other quantities."""
_BRACKETS = re.compile(r"[\[(]\s*([^\])]*?)\s*[\])]")


def level_column(headers: list[str], named: str | None, problems: list[Problem]) -> int | None:
    """The column of levels: the one named, or the only one that can be; None with a problem.

    Args:
        headers: of all columns.
        named: as the caller asks for it; None to look for it.
        problems: what is wrong is added to these.
    """
    if named is not None:
        return named_column(headers, named, problems)
    kinds = [" ".join(words_of(header)) for header in headers]
    levels = [i for i, kind in enumerate(kinds) if LEVEL_HEADER.search(kind)]
    levels = levels or [i for i, header in enumerate(headers) if _is_length(header)]
    likely = [i for i in levels if not OTHER.search(kinds[i]) and not _measured_otherwise(headers[i])]
    observed = [i for i in likely if not COMPUTED.search(kinds[i])]
    standard = [i for i in observed if STANDARD.search(kinds[i])]
    verified = [i for i in observed if "verified" in kinds[i].split()]
    fits = standard or (verified if len(observed) > 1 else observed) or observed or likely
    if len(fits) == 1:
        return fits[0]
    expected = "one column of levels, named as in 'level_m'"
    if fits:
        found = f"columns {', '.join(headers[i] for i in fits)}"
        expected += ", or which of them told (level_column)"
    else:
        found = f"columns {', '.join(headers)}"
        others = [headers[i] for i in levels]
        found += f", of which {' and '.join(others)} can't be a level" if others else ""
    problems.append(Problem("header", found, expected))
    return None


def _is_length(header: str) -> bool:
    """Whether the header states a unit of length in brackets."""
    return any(unit.lower() in LENGTHS for unit in _BRACKETS.findall(header))


def _measured_otherwise(header: str) -> bool:
    """Whether the header states a unit, and that of another quantity."""
    last = [word for word in words_of(header)[-1:] if len(word) > 1]
    stated = [unit.lower() for unit in _BRACKETS.findall(header)] + last
    return any(unit in FOREIGN for unit in stated) and not any(unit in LENGTHS for unit in stated)
