"""What the lines around a table say of its place: name, position, datum, mean level, axes of a current."""

import re
from collections.abc import Iterable

from harmonics.files.published.lines import Line
from harmonics.files.published.numbers import CommaReading, number
from harmonics.files.published.statements import NUMBER, Fact, Said, texts
from harmonics.files.published.units import units_in

_DATUMS = (
    r"chart datum|mean lower low water|mean low water springs|mean low water|lowest astronomical tide|"
    r"mean sea level|station datum|(?:tide )?gauge zero|hydrographic zero|zéro hydrographique|"
    r"MLLW|MLWS|MLW|LAT|CD|MSL|LLWLT|ISLW|NAVD ?88|NAP|ODN|AHD|NHN|SKN|ZH|TGZ"
)
_DATUM = re.compile(
    r"\b(?:datum|vertical reference|seekartennull|zéro|cero)\s*(?:[=:;|\t,]|is\b)\s*(?P<name>[^;|\t]{2,60})",
    re.IGNORECASE,
)
_ABOVE = re.compile(
    rf"\b(?:above|below|relative to|referred to|refer to|over)\s+(?:the\s+)?(?P<name>{_DATUMS})\b",
    re.IGNORECASE,
)
_UNIT = r"(?P<unit>met(?:re|er)s?|[cm]m|m|ft|feet|foot)?\b"
_YEARS = r"(?:19|20)\d\d\s*[-–]\s*(?:19|20)\d\d"
_MEAN = re.compile(
    r"\b(?:Z0|Zo|A0|S0|MSL|mean (?:sea |water )?level|niveau moyen|nivel medio|mittelwasser)\b"
    rf"(?P<between>(?:[^\d+\-]|{_YEARS}){{0,60}}?)(?<![A-Za-z])(?!{_YEARS})(?P<number>{NUMBER})\s*{_UNIT}",
    re.IGNORECASE,
)
_FLOW = re.compile(
    rf"\bmean\s+(?:flow|current|speed)\b[^\d+\-]{{0,40}}?(?P<number>{NUMBER})\s*(?P<unit>[A-Za-z/]{{1,8}})?",
    re.IGNORECASE,
)
_COURSE = r"[^\d+\-]{0,40}?(?P<number>\d{1,3}(?:[.,]\d+)?)\s*(?:°|deg|true|T\b|$|[,;)])"
_FLOOD = re.compile(r"\b(?:flood|major axis|principal axis|axis direction)\b" + _COURSE, re.IGNORECASE)
_BOTH = re.compile(
    rf"\bflood\s*(?:/|and|,|-)\s*ebb\b[^\d]{{0,40}}(?P<flood>{NUMBER})\D{{1,12}}(?P<ebb>{NUMBER})",
    re.IGNORECASE,
)
_EBB = re.compile(r"\bebb\b" + _COURSE, re.IGNORECASE)
_ACROSS = re.compile(r"\bminor axis\b" + _COURSE, re.IGNORECASE)
_ANGLE = (
    r"([+-]?\d{1,3}(?:[.,]\d+)?)\s*°?\s*"
    r"(?:(\d{1,2}(?:[.,]\d+)?)\s*'?\s*)?(?:(\d{1,2}(?:[.,]\d+)?)\s*(?:\"|''|″)\s*)?"
)
_LATITUDE = re.compile(r"\blat(?:itude|itud)?\b[.\s]*[=:;|\t,]?\s*" + _ANGLE + r"([NS])?\b", re.IGNORECASE)
_LONGITUDE = re.compile(
    r"\blong?(?:itude|itud)?\b[.\s]*[=:;|\t,]?\s*" + _ANGLE + r"([EWO])?\b", re.IGNORECASE
)
_PAIR = re.compile(_ANGLE + r"([NS])\b[\s,;/]*" + _ANGLE + r"([EWO])\b")
_STATION = re.compile(
    r"^\s*(?:station(?:\s+name)?|name of (?:the )?station|port|harbou?r|place|location|site|estación|puerto|"
    r"pegel)\s*[=:;|\t,]\s*(?P<name>\S.{0,80})",
    re.IGNORECASE,
)
_OF_PLACE = re.compile(
    r"\b[Cc]onst(?:ituents|ants)\s+(?:for|of|at)\s+(?:\d{5,}\s*[,:\-]?\s*)?(?P<name>[A-Z\d].{1,80})"
)
_ENDS = re.compile(r"\s{3,}|\t|;|\s+(?:LAT|Lat|Long?\b|Datum|DATUM|Zone)")


def place_statements(lines: Iterable[Line]) -> list[Said]:
    """What lines outside a table say of its station, in their order."""
    found: list[Said] = []
    for line, text in texts(lines):
        for read in (_named, _position, _datum, _mean_level, _flows):
            found += read(text, line)
    return found


def _value(text: str) -> float | None:
    read = number(text, CommaReading.DECIMAL)
    return None if read is None else read.value


def _named(text: str, line: Line) -> list[Said]:
    match = _STATION.search(text) or _OF_PLACE.search(text)
    name = _ENDS.split(match["name"], maxsplit=1)[0].strip(" .,:;|") if match else ""
    return [Said(Fact.STATION, name, line)] if name else []


def _position(text: str, line: Line) -> list[Said]:
    found: list[Said] = []
    if match := _PAIR.search(text):
        groups = match.groups()
        sides = ((Fact.LATITUDE, groups[:4], 90.0), (Fact.LONGITUDE, groups[4:], 180.0))
    else:
        first, second = _LATITUDE.search(text), _LONGITUDE.search(text)
        none = (None,) * 4
        sides = (
            (Fact.LATITUDE, first.groups() if first else none, 90.0),
            (Fact.LONGITUDE, second.groups() if second else none, 180.0),
        )
    for fact, parts, most in sides:
        angle = _angle(*parts)
        if angle is not None and abs(angle) <= most:
            found.append(Said(fact, angle, line))
    return found


def _angle(degrees: str | None, minutes: str | None, seconds: str | None, side: str | None) -> float | None:
    if degrees is None or (whole := _value(degrees)) is None:
        return None
    size = abs(whole) + (_value(minutes or "0") or 0.0) / 60.0 + (_value(seconds or "0") or 0.0) / 3600.0
    if (side or "").upper() == "O":  # west in Spanish and French, east in German
        return None
    negative = degrees.startswith("-") or (side or "").upper() in ("S", "W")
    return round(-size if negative else size, 6)


def _datum(text: str, line: Line) -> list[Said]:
    match = _DATUM.search(text) or _ABOVE.search(text)
    if match is None:
        return []
    name = re.split(r"\s{3,}|\s+[A-Z]0\s*=|,\s", match["name"], maxsplit=1)[0].strip(" .,:")
    return [Said(Fact.DATUM, name, line)] if name and not name[0].isdigit() else []


def _mean_level(text: str, line: Line) -> list[Said]:
    match = _MEAN.search(text)
    if match is None or (value := _value(match["number"])) is None:
        return []
    units = units_in(match["unit"] or "")
    return [Said(Fact.MEAN_LEVEL, value, line, units[0] if units else None)]


def _flows(text: str, line: Line) -> list[Said]:
    found: list[Said] = []
    if (match := _FLOW.search(text)) and (value := _value(match["number"])) is not None:
        units = [unit for unit in units_in(match["unit"] or "") if unit.of_currents]
        found.append(Said(Fact.MEAN_FLOW, value, line, units[0] if units else None))
    if both := _BOTH.search(text):
        pair = ((Fact.FLOOD, _value(both["flood"])), (Fact.EBB, _value(both["ebb"])))
        return found + [Said(fact, value, line) for fact, value in pair if value is not None and value <= 360]
    for fact, pattern in ((Fact.FLOOD, _FLOOD), (Fact.EBB, _EBB), (Fact.ACROSS, _ACROSS)):
        if (
            (match := pattern.search(text))
            and (value := _value(match["number"])) is not None
            and value <= 360
        ):
            found.append(Said(fact, value, line))
    return found
