"""The fields of forms that begin with a published table."""

from collections.abc import Mapping

TABLE_EXPECTED = "a table of constituents: names, amplitudes and phase lags"
NUMBER_EXAMPLES = {
    "latitude": "29.31 or 29 18.6 N",
    "longitude": "-90.62 or 90 37.2 W",
    "mean_level": "0.61",
}
NEW_HEAD, NEW_STATION, NEW_CURRENT = "A new shore", "A new station", "A new current"
HINTS: Mapping[str, str] = {
    "table": "As an agency publishes it, with the lines above and below it",
    "title": "What people call it; the station's name where nothing is said",
    "latitude": "Degrees, north positive: 29.31, or 29 18.6 N",
    "longitude": "Degrees, east positive, west negative: -90.62, or 90 37.2 W",
    "datum": "What heights are counted from: MLLW, LAT ...",
    "mean_level": "Mean sea level above the datum, in the table's unit",
    "time_zone": "Such as America/Chicago; found from the position where nothing is said",
    "spot_latitude": "The station's where nothing is said",
    "spot_longitude": "The station's where nothing is said",
    "utc_offset": "Hours, of the clock of local phase lags",
    "flood_direction": "Degrees true the flood sets to",
    "ebb_direction": "Degrees true the ebb sets to",
    "across_direction": "Degrees true where the minor axis is positive",
    "mean_flow": "Knots, flood positive",
}
LABELS: Mapping[str, str] = {
    "table": "The published table",
    "title": "Name of the shore",
    "station_name": "Name of the station",
    "name": "Name",
    "latitude": "Latitude",
    "longitude": "Longitude",
    "datum": "Datum",
    "mean_level": "Mean level",
    "units": "What you read",
    "time_zone": "The clock there",
    "spot": "Name of your first spot",
    "spot_latitude": "Latitude of the spot",
    "spot_longitude": "Longitude of the spot",
    "table_units": "Unit of the table",
    "phase": "Phase lags",
    "utc_offset": "Clock of the lags",
    "flood_direction": "Flood",
    "ebb_direction": "Ebb",
    "across_direction": "Across",
    "mean_flow": "Mean flow",
}
CHOICES: Mapping[str, tuple[str, ...]] = {
    "units": ("feet", "metres"),
    "table_units": (
        *("metres", "centimetres", "millimetres", "feet", "inches"),
        *("knots", "m/s", "cm/s", "mm/s"),
    ),
    "phase": ("greenwich", "local"),
}
UNSAID = "Only where the table does not say"
NEW_GROUPS: Mapping[str, tuple[str, ...]] = {
    "": ("table",),
    "The station": ("station_name", "latitude", "longitude", "datum", "mean_level"),
    "Your first spot": ("spot", "spot_latitude", "spot_longitude"),
    "How you read it": ("title", "units", "time_zone"),
    UNSAID: ("table_units", "phase", "utc_offset"),
}
STATION_GROUPS: Mapping[str, tuple[str, ...]] = {
    "": ("table",),
    "The station": ("name", "latitude", "longitude", "datum", "mean_level"),
    UNSAID: ("table_units", "phase", "utc_offset"),
}
CURRENT_GROUPS: Mapping[str, tuple[str, ...]] = {
    "": ("table",),
    "The station": ("name", "latitude", "longitude", "flood_direction", "ebb_direction", "mean_flow"),
    UNSAID: ("table_units", "phase", "utc_offset"),
}
NOT_A_TIDE = "a current's table; expected a tide's: add a current instead"
NOT_A_CURRENT = "a tide's table; expected a current's: add a station instead"
TWO_AXES = "a current on two axes, which `ebblight import` reads; expected one axis"
MISSING = "nothing, and the table does not say"
ZONE_EXPECTED = "the clock that people there read, such as America/Chicago"
NOT_OFFERED, ONE_OF_THEM = "a choice that is not offered", "one of them"
NO_TEXT, NO_AMPLITUDE = "bytes that are no text", "no amplitude above 0"


def number_expected(key: str, least: float, most: float) -> str:
    """What a field of numbers takes."""
    return f"a number from {least:g} to {most:g}, as {NUMBER_EXAMPLES.get(key.removeprefix('spot_'), '1.5')}"
