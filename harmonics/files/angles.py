"""Latitudes and longitudes as people type them: in degrees, or in degrees and minutes with a side."""

import re

EXAMPLES = {"latitude": "42.36 or 42 21.6 N", "longitude": "-71.05 or 71 3.0 W"}
_MOST = {"latitude": 90.0, "longitude": 180.0}
_SIDES = {"latitude": "NS", "longitude": "EW"}
_ANGLE = re.compile(
    r"(?P<before>[NSEW]?)\s*(?P<sign>[-+]?)(?P<degrees>\d{1,3}(?:\.\d{1,15})?)\s*°?"
    r"(?:(?<=[\s°])\s*(?P<minutes>\d{1,2}(?:\.\d{1,12})?)\s*['′’]?"
    r"(?:(?<=[\s'′’])\s*(?P<seconds>\d{1,2}(?:\.\d{1,12})?)\s*[\"″”]?)?)?"
    r"\s*(?P<after>[NSEW]?)",
    re.ASCII,
)


def typed_angle(key: str, text: str) -> float | None:
    """Degrees, north and east positive; None where the text is no such angle.

    Args:
        key: "latitude" or "longitude".
        text: such as -71.05, 71.05 W, 71 3.0 W, 71°03'00" W or W 71 3.0.
    """
    found = _ANGLE.fullmatch(text.strip().upper().replace("\u2212", "-").replace("º", "°"))
    if found is None or (found["before"] and found["after"]):
        return None
    side = found["before"] or found["after"]
    degrees, minutes, seconds = (float(found[part] or 0.0) for part in ("degrees", "minutes", "seconds"))
    parts = [part for part in found.group("degrees", "minutes", "seconds") if part]
    if (
        any("." in part for part in parts[:-1])
        or max(minutes, seconds) >= 60.0
        or side not in _SIDES[key]
        or (side and found["sign"])
    ):
        return None
    angle = degrees if not found["minutes"] else round(degrees + minutes / 60.0 + seconds / 3600.0, 6)
    if angle > _MOST[key]:
        return None
    return -angle if found["sign"] == "-" or side in ("S", "W") else angle
