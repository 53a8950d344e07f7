"""A first file from a published table and a few answers: what is still to be asked, and the texts."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from harmonics.files.station_text import StationHead, constituent_csv
from harmonics.units import LengthUnit
from windows.shoreline.first_text import FirstFile, SpotHead, first_file
from windows.shoreline.ids import identifier_of

if TYPE_CHECKING:
    from harmonics.files.published.results import ImportedTable


@dataclass(frozen=True)
class Answers:
    """What a first file is made from; None for what is not known yet.

    Attributes:
        station_name: of the gauge.
        latitude, longitude: of the gauge, degrees, north and east positive.
        datum: what heights are counted from.
        mean_level: mean sea level above the datum, in the unit of the table as it will be written.
        spot: name of the first spot.
        spot_latitude, spot_longitude: of the spot; the gauge's where None.
        title: of the shore; the gauge's name where None.
        units: "feet" or "metres", as people there read heights; the table's where None.
        time_zone: IANA name of the clock there; that of the gauge's position where None.
    """

    station_name: str | None = None
    latitude: float | None = None
    longitude: float | None = None
    datum: str | None = None
    mean_level: float | None = None
    spot: str | None = None
    spot_latitude: float | None = None
    spot_longitude: float | None = None
    title: str | None = None
    units: str | None = None
    time_zone: str | None = None


NEEDED = ("station_name", "latitude", "longitude", "datum", "mean_level", "spot")
"""Answers without which there is no file, in the order in which they are asked for."""


def with_table(answers: Answers, found: "ImportedTable") -> Answers:
    """The answers, with what the table says of itself where nothing was answered."""
    place = found.facts.place
    said = {
        "station_name": place.station,
        "latitude": place.latitude,
        "longitude": place.longitude,
        "datum": place.datum,
    }
    known: dict[str, Any] = {key: item.value for key, item in said.items() if item is not None}
    if found.mean_level is not None:
        known["mean_level"] = found.mean_level / found.unit.metres
    unsaid = {key: value for key, value in known.items() if getattr(answers, key) is None}
    return replace(answers, **unsaid)


def with_defaults(answers: Answers, found: "ImportedTable") -> Answers:
    """The answers, with what follows from the others: title, unit, the spot's position, the clock there.

    The clock stays None where nobody knows which is read at the position.
    """
    from windows.shoreline.zones import zone_at

    zone = answers.time_zone
    if zone is None and answers.latitude is not None and answers.longitude is not None:
        zone = zone_at(answers.latitude, answers.longitude)
    return replace(
        answers,
        title=answers.title or answers.station_name,
        units=answers.units or found.unit.value,
        spot_latitude=answers.latitude if answers.spot_latitude is None else answers.spot_latitude,
        spot_longitude=answers.longitude if answers.spot_longitude is None else answers.spot_longitude,
        time_zone=zone,
    )


def lacking(answers: Answers) -> tuple[str, ...]:
    """Names of the answers that are still needed; empty where a file can be made."""
    missing = [key for key in NEEDED if getattr(answers, key) is None]
    if not missing and answers.time_zone is None:
        missing.append("time_zone")
    return tuple(missing)


@dataclass(frozen=True)
class FirstTexts:
    """A first file ready to be tried and written.

    Attributes:
        name: of the file.
        text: of it.
        beside: text of the constituent table beside it, by its name.
    """

    name: str
    text: str
    beside: Mapping[str, str]


def first_texts(answers: Answers, found: "ImportedTable", comments: tuple[str, ...] = ()) -> FirstTexts:
    """The file and its table; what they then mean is tried by `windows.shoreline.trials.tried`.

    Args:
        answers: with their defaults; none may be lacking.
        found: the published table.
        comments: for the head of the table, such as what was taken from where.

    Raises:
        ValueError: an answer is lacking.
    """
    answers = with_defaults(answers, found)
    name, spot, datum, zone = answers.station_name, answers.spot, answers.datum, answers.time_zone
    latitude, longitude, mean_level = answers.latitude, answers.longitude, answers.mean_level
    if name is None or spot is None or datum is None or zone is None:
        raise ValueError(f"lacking: {', '.join(lacking(answers))}")
    if latitude is None or longitude is None or mean_level is None:
        raise ValueError(f"lacking: {', '.join(lacking(answers))}")
    station, table = identifier_of(name), f"{identifier_of(name)}.csv"
    spot_latitude = latitude if answers.spot_latitude is None else answers.spot_latitude
    spot_longitude = longitude if answers.spot_longitude is None else answers.spot_longitude
    content = FirstFile(
        answers.title or name,
        zone,
        LengthUnit(answers.units or found.unit.value),
        StationHead(station, name, latitude, longitude, datum, mean_level * found.unit.metres),
        table,
        found.unit,
        SpotHead(identifier_of(spot), spot, spot_latitude, spot_longitude, station),
    )
    rows = constituent_csv(found.constants, found.unit, comments)
    return FirstTexts(f"{station}.toml", first_file(content), {table: rows})
