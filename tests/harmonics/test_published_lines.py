"""What lines around a published table say: of its place, its units, its lags and its clock.

All words are common practice.
"""

import pytest

from harmonics.files.published.lines import Line, lines_of_text
from harmonics.files.published.places import place_statements
from harmonics.files.published.statements import Fact, number_statements
from harmonics.files.published.units import PhaseKind, TableUnit
from harmonics.files.zones import zone_named


def said(read, *lines):
    found = read(lines_of_text("\n".join(lines)))
    return {item.fact: (item.value, item.unit) if item.unit else item.value for item in found}


class TestPlaces:
    @pytest.mark.parametrize(
        "key",
        ["Station", "STATION NAME", "Name of station", "name of the station", "Port", "Harbor", "Harbour",
        "Place",
         "Location", "Site", "Estación", "Puerto", "Pegel"],
    )  # fmt: skip
    def test_names(self, key):
        assert said(place_statements, f"{key}: Inner Pier.") == {Fact.STATION: "Inner Pier"}
        assert said(place_statements, f"{key} = Inner Pier   Datum") == {Fact.STATION: "Inner Pier"}

    @pytest.mark.parametrize("words", ["constituents for", "constants of", "Harmonic constants at"])
    def test_names_in_titles(self, words):
        assert said(place_statements, f"{words} Inner Pier; 2020") == {Fact.STATION: "Inner Pier"}
        assert said(place_statements, f"{words} the year") == {}

    @pytest.mark.parametrize(
        ("line", "latitude", "longitude"),
        [
            ("Latitude: 29.5 Longitude: -90.25", 29.5, -90.25),
            ("lat = 29° 30.0' N, long 90° 15' W", 29.5, -90.25),
            ("Lat 29 30 S; Lon 90 15 E", -29.5, 90.25),
            ("29°30'36\"N 90°15'36\"W", 29.51, -90.26),
            ("latitud 29,5 longitud 90,25 W", 29.5, -90.25),
            ("29.5 N, 90.25 O", 29.5, None),
            ("Latitude 90 Longitude 180", 90.0, 180.0),
            ("Latitude 91 Longitude 181", None, None),
            ("Latitude 29.5", 29.5, None),
            ("Longitude -0.5", None, -0.5),
        ],
    )
    def test_positions(self, line, latitude, longitude):
        found = said(place_statements, line)
        assert (found.get(Fact.LATITUDE), found.get(Fact.LONGITUDE)) == (latitude, longitude)

    @pytest.mark.parametrize(
        ("line", "datum"),
        [
            ("Datum: MLLW", "MLLW"),
            ("Datum is Chart Datum.", "Chart Datum"),
            ("Vertical reference = NAVD88   Zone", "NAVD88"),
            ("Seekartennull: SKN", "SKN"),
            ("zéro = hydrographique", "hydrographique"),
            ("Datum: 2.5", None),
            ("heights above the mean lower low water", "mean lower low water"),
            ("relative to LAT", "LAT"),
            ("heights below chart datum", "chart datum"),
            ("referred to gauge zero", "gauge zero"),
            ("refer to tide gauge zero", "tide gauge zero"),
            ("over zéro hydrographique", "zéro hydrographique"),
            ("above NHN and", "NHN"),
            ("above TGZ", "TGZ"),
            ("above the roof", None),
        ],
    )
    def test_datums(self, line, datum):
        assert said(place_statements, line).get(Fact.DATUM) == datum

    @pytest.mark.parametrize(
        "words",
        ["Z0", "Zo", "A0", "S0", "MSL", "Mean level", "mean sea level", "mean water level", "niveau moyen",
         "nivel medio", "Mittelwasser"],
    )  # fmt: skip
    def test_mean_levels(self, words):
        assert said(place_statements, f"{words} is 1.25 ft")[Fact.MEAN_LEVEL] == (1.25, TableUnit.FEET)
        assert said(place_statements, f"{words} = -0,5")[Fact.MEAN_LEVEL] == -0.5

    @pytest.mark.parametrize(
        ("line", "found"),
        [
            ("Mean flow: -0.2 kn", {Fact.MEAN_FLOW: (-0.2, TableUnit.KNOTS)}),
            ("mean current 5 cm/s", {Fact.MEAN_FLOW: (5.0, TableUnit.CENTIMETRES_PER_SECOND)}),
            ("mean speed 0.1 m", {Fact.MEAN_FLOW: 0.1}),
            ("Flood direction: 250 deg", {Fact.FLOOD: 250.0}),
            ("major axis 250°", {Fact.FLOOD: 250.0}),
            ("principal axis 12.5 true", {Fact.FLOOD: 12.5}),
            ("axis direction 12 T", {Fact.FLOOD: 12.0}),
            ("Ebb sets 70 deg", {Fact.EBB: 70.0}),
            ("minor axis 340 deg", {Fact.ACROSS: 340.0}),
            ("flood 361 deg", {}),
            ("flood 360 deg, ebb 180 deg", {Fact.FLOOD: 360.0, Fact.EBB: 180.0}),
            ("Flood/ebb: 250 / 70", {Fact.FLOOD: 250.0, Fact.EBB: 70.0}),
            ("flood and ebb 250.5 and 70.5", {Fact.FLOOD: 250.5, Fact.EBB: 70.5}),
            ("flood, ebb 360; 361", {Fact.FLOOD: 360.0}),
        ],
    )
    def test_directions_and_flow(self, line, found):
        assert said(place_statements, line) == found


class TestStatements:
    @pytest.mark.parametrize(
        "word", ["Unit", "units", "unité", "unités", "unidad", "unidades", "Einheit", "Einheiten",
        "amplitude",
                 "amplitudes", "amplitud", "Amplituden", "speed", "speeds", "H"]
    )  # fmt: skip
    def test_units_of_amplitudes(self, word):
        assert said(number_statements, f"{word}: feet") == {Fact.UNIT: TableUnit.FEET}

    @pytest.mark.parametrize(
        "word", ["height", "heights", "elevation", "elevations", "hauteur", "hauteurs", "altura", "alturas"]
    )
    def test_units_of_heights(self, word):
        assert said(number_statements, f"{word} in metres") == {Fact.HEIGHT_UNIT: TableUnit.METRES}

    def test_counted_feet_are_no_unit(self):
        assert said(number_statements, "amplitude of 3 feet") == said(number_statements, "H 0,5 m") == {}
        assert said(number_statements, "written in feet") == {}

    @pytest.mark.parametrize(
        "word",
        ["phase", "phases", "lag", "lags", "epoch", "epochs", "fase", "fases", "situation", "situations",
         "harmonic constants", "constantes", "Phasen", "Phasenlage", "Phasenlagen", "g"],
    )  # fmt: skip
    def test_kinds_of_lags(self, word):
        assert said(number_statements, f"{word}: Greenwich")[Fact.PHASE] == {PhaseKind.GREENWICH}
        assert said(number_statements, f"{word}: local") == {Fact.PHASE: {PhaseKind.LOCAL}}

    @pytest.mark.parametrize(
        "word",
        ["Time zone", "time-zone", "timezone", "zone", "time meridian", "fuseau", "fuseau horaire", "huso",
         "huso horario", "Zeitzone", "clock"],
    )  # fmt: skip
    def test_clocks(self, word):
        assert said(number_statements, f"{word}: UTC-5") == {Fact.OFFSET: (-5.0,)}
        assert said(number_statements, f"{word}: GMT") == {Fact.OFFSET: (0.0,)}

    @pytest.mark.parametrize(
        ("text", "hours"),
        [
            ("zone: +5", (5.0, -5.0)),
            ("zone -0530", (-5.5, 5.5)),
            ("zone +00", (0.0,)),
            ("time meridian 75° W", (-5.0,)),
            ("time meridian: 15 E", (1.0,)),
            ("zone Z", (0.0,)),
            ("clock: universal time", (0.0,)),
            ("zone UT", (0.0,)),
            ("zone nowhere", None),
            ("+5 zone", None),
        ],
    )
    def test_hours(self, text, hours):
        assert said(number_statements, text).get(Fact.OFFSET) == hours

    @pytest.mark.parametrize(
        ("clock", "hours"),
        [
            ("NST", (-3.5,)), ("AST", (-4.0, 3.0)), ("EST", (-5.0, 10.0)), ("CST", (-6.0, 8.0)), ("MST",
            (-7.0,)),
            ("PST", (-8.0, 8.0)), ("AKST", (-9.0,)), ("HST", (-10.0,)), ("WET", (0.0,)), ("CET", (1.0,)),
            ("MEZ", (1.0,)), ("EET", (2.0,)), ("MSK", (3.0,)), ("IST", (5.5, 2.0)), ("JST", (9.0,)),
            ("KST", (9.0,)),
            ("AWST", (8.0,)), ("ACST", (9.5,)), ("AEST", (10.0,)), ("NZST", (12.0,)), ("BRT", (-3.0,)),
            ("ART", (-3.0,)), ("CLT", (-4.0,)),
        ],
    )  # fmt: skip
    def test_letters_of_clocks(self, clock, hours):
        """Hours from UTC of each clock (from memory)."""
        assert said(number_statements, f"time zone: {clock}") == {Fact.OFFSET: hours}

    def test_zones_by_name(self):
        assert said(number_statements, "Time zone America/Chicago") == {Fact.ZONE: "America/Chicago"}
        assert said(number_statements, "zone Nowhere/Land") == {}
        assert zone_named("Europe/Oslo").key == "Europe/Oslo"
        assert zone_named("A/" * 500 + "A") is None
        assert zone_named("../x") is zone_named("None/Such") is None

    def test_keys_and_values_of_cells(self):
        pairs = Line(1, "", ("Units", "feet", "Phase", "local"))
        assert {item.fact for item in number_statements([pairs])} == {Fact.UNIT, Fact.PHASE}
        assert place_statements([Line(1, "", ("Station", "Pier"))])[0].value == "Pier"
        assert place_statements([Line(1, "", ("Station", "Pier", "x"))]) == []
        assert place_statements(lines_of_text("# Station: Pier"))[0].value == "Pier"

    def test_long_lines_say_nothing(self):
        assert said(number_statements, "units: feet" + " " + "x" * 288) == {Fact.UNIT: TableUnit.FEET}
        assert said(number_statements, "units: feet" + " " + "x" * 289) == {}


class TestBounds:
    def test_positions_that_no_place_has(self):
        assert said(place_statements, "89.5 N 180.5 W") == {Fact.LATITUDE: 89.5}
        assert said(place_statements, "90.5 S 179.5 E") == {Fact.LONGITUDE: 179.5}
        assert said(place_statements, "90 S 180 E") == {Fact.LATITUDE: -90.0, Fact.LONGITUDE: 180.0}
