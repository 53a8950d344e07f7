"""`datums`: beside the published datums, conversions, what a station is refused for, and the forms.

Published datums: NOAA CO-OPS, epoch 1983-2001, tests/published/datums.csv.
"""

import json
import re

import pytest

from tests.cli.runs import document, done, refused, rows, run
from tests.coasts import SIMPLE_STATION, STATION_IDS, head, published_station, simple, written
from tests.conftest import published_rows

NAMES = ("HAT", "MHHW", "MHW", "MTL", "DTL", "MSL", "MLW", "MLLW", "LAT")
FOOT = 0.3048
FOLLOWER = """
[[stations]]
id = "cove"
name = "Cove"
reference = "pier"
high_water = { minutes = 18, factor = 1.06 }
low_water = { minutes = 4, factor = 0.83 }
"""
STILL = SIMPLE_STATION.replace("1.5", "0.0").replace("0.5", "0.0").replace("0.06", "0.0")


@pytest.fixture(scope="module")
def shore(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shore")
    return written(folder, head("UTC"), *(published_station(station) for station in STATION_IDS))


@pytest.fixture(scope="module")
def pier(tmp_path_factory):
    return written(tmp_path_factory.mktemp("pier"), head("UTC", "feet"), SIMPLE_STATION, FOLLOWER)


def heights(*arguments: object) -> dict[str, float]:
    return {row["datum"]: float(row["height_m"]) for row in rows("datums", *arguments)}


# Published datums are means of observed high and low waters, which weather spreads, so that a prediction's
# lie closer together: most where the weather is large beside the tide (Pensacola) or large in metres
# (Boston). HAT and LAT are the agency's own predictions, of constants that may be older than these. MSL is
# what the published datums are counted from here. The tolerances are the differences found, rounded up.
TOLERANCE = {"8729840": 0.021, "8724580": 0.006, "8443970": 0.033, "9447130": 0.010, "1612340": 0.003}
EXTREMES = {"8729840": 0.058, "8724580": 0.003, "8443970": 0.008, "9447130": 0.012, "1612340": 0.002}


@pytest.mark.parametrize("station", STATION_IDS)
def test_beside_the_published_datums(shore, station):
    ours = heights(shore, "--station", station, "--above", "msl")
    (row,) = [row for row in published_rows("datums.csv") if row["station"] == station]
    for name in NAMES:
        theirs = float(row[name]) - float(row["MSL"])
        limit = EXTREMES[station] if name in ("HAT", "LAT") else TOLERANCE[station]
        assert ours[name] == pytest.approx(theirs, abs=limit), name
    # A sixth of the range at most: what a name mixed up with its neighbour, or a wrong epoch, would miss.
    assert 6 * TOLERANCE[station] < float(row["MHHW"]) - float(row["MLLW"])


@pytest.mark.parametrize("station", STATION_IDS)
def test_the_order_of_datums(shore, station):
    found = heights(shore, "--station", station)
    assert list(found) == list(NAMES)
    assert found["HAT"] > found["MHHW"] >= found["MHW"] > found["MTL"] > found["MLW"] >= found["MLLW"]
    assert found["MLLW"] > found["LAT"]
    assert found["MTL"] == pytest.approx(0.5 * (found["MHW"] + found["MLW"]))
    assert found["DTL"] == pytest.approx(0.5 * (found["MHHW"] + found["MLLW"]))


@pytest.mark.parametrize("above", [name.lower() for name in NAMES])
def test_heights_above_another_datum_are_the_same_heights(shore, above):
    asked = (shore, "--station", "9447130")
    plain, moved = heights(*asked), heights(*asked, "--above", above)
    assert moved[above.upper()] == 0.0
    for name in NAMES:
        assert moved[name] == pytest.approx(plain[name] - plain[above.upper()], abs=1e-12)
    assert moved == heights(*asked, "--above", above.upper())


def test_the_words_for_the_file_put_its_water_on_the_datum(pier, tmp_path):
    text = " ".join(done("datums", pier, "--station", "pier", "--above", "lat").split())
    told = re.search(r'datum = "(\w+)", and mean_level = ([\d.]+) where length_unit is "metres"', text)
    feet = re.search(r'([\d.]+) where it is "feet"', text)
    added = re.search(r"adding ([-+][\d.]+) m or ([-+][\d.]+) ft", text)
    assert told and feet and added
    assert float(feet[1]) * FOOT == pytest.approx(float(told[2]), abs=1e-4)
    assert float(added[2]) * FOOT == pytest.approx(float(added[1]), abs=1e-4)
    moved = SIMPLE_STATION.replace('"Chart datum"', f'"{told[1]}"').replace(
        "mean_level = 2.0", f"mean_level = {told[2]}"
    )
    path = written(tmp_path, head("UTC"), moved)
    assert heights(path)["LAT"] == pytest.approx(0.0, abs=1e-4)
    asked = ("--start", "2026-08-10", "--days", "2")
    before = [float(row["height_m"]) for row in rows("levels", pier, "--station", "pier", *asked)]
    after = [float(row["height_m"]) for row in rows("levels", path, *asked)]
    shifts = [b - a for a, b in zip(before, after, strict=True)]
    assert shifts == pytest.approx([float(added[1])] * len(shifts), abs=1e-4)


def test_ranges_and_ages_by_hand(pier):
    # M2 1.5, S2 0.5, K1 0.06, no O1: spring 4.0, neap 2.0, form number 0.03; age of the phase tide
    # (175 - 130) / (30 - 28.984104) = 44.30 h.
    found = document("datums", pier, "--station", "pier")
    assert found["spring_range_m"] == pytest.approx(4.0)
    assert found["neap_range_m"] == pytest.approx(2.0)
    assert found["form_number"] == pytest.approx(0.03)
    assert found["regime"] == "semidiurnal"
    assert found["phase_age_h"] == pytest.approx(44.30, abs=0.01)
    assert found["tropic_range_m"] is None and found["diurnal_age_h"] is None
    text = done("datums", pier, "--station", "pier")
    assert re.search(r"spring range, 2 \(M2 \+ S2\) +13\.123\b", text)
    assert "neap range" in text and "tropic" not in text
    assert "spring tide after new and full moon by +44 h" in text


def test_a_diurnal_coast_tells_tropic_and_equatorial_ranges(shore):
    text = done("datums", shore, "--station", "8729840")
    by_name = {row["name"]: float(row["amplitude"]) for row in published_rows("constituents_8729840.csv")}
    for what, height in (
        ("tropic range, 2 (K1 + O1)", 2 * (by_name["K1"] + by_name["O1"])),
        ("equatorial range, 2 (K1 - O1)", 2 * abs(by_name["K1"] - by_name["O1"])),
    ):
        assert re.search(rf"{re.escape(what)} +{height:.3f}\b", text)
    assert "Tide: diurnal" in text
    assert "spring range" not in text


class TestForms:
    def test_csv_json_and_text_hold_the_same(self, pier):
        asked = ("datums", pier, "--station", "pier")
        table = rows(*asked)
        assert list(table[0]) == ["station", "datum", "height_m"]
        assert {row["station"] for row in table} == {"pier"}
        found = document(*asked)
        assert [record["datum"] for record in found["rows"]] == list(NAMES)
        for record, row in zip(found["rows"], table, strict=True):
            assert record["height_m"] == float(row["height_m"])
        text = done(*asked)
        for row in table:
            assert re.search(rf"^{row['datum']}, .* {float(row['height_m']) / FOOT:.3f}$", text, re.MULTILINE)

    def test_header_names_datum_epoch_and_cautions(self, pier):
        found = document("datums", pier, "--station", "pier", "--above", "mllw", "--first-year", "2002")
        assert found["datum"] == "MLLW"
        assert found["epoch"] == "2002 to 2020"
        assert (found["station"], found["name"]) == ("pier", "Pier")
        assert any("Not for navigation" in text for text in found["cautions"])

    def test_the_text_says_what_it_rests_on(self, pier):
        text = done("datums", pier, "--station", "pier")
        assert text.splitlines()[0] == "A shore, Pier; heights in feet above Chart datum"
        assert "From predictions of 1983 to 2001." in text
        assert "observed" in text
        assert text.rstrip().endswith("check local rules.")

    def test_an_invented_coast_is_said_first(self, tmp_path):
        path = written(tmp_path, head("UTC", more="invented = true"), SIMPLE_STATION)
        assert done("datums", path).startswith("INVENTED COAST, never use on the water\n")

    def test_a_file(self, pier, tmp_path):
        out = tmp_path / "datums.csv"
        asked = ("datums", pier, "--station", "pier", "--format", "csv")
        assert run(*asked, "-o", out).code == 0
        assert out.read_text(encoding="utf-8") == done(*asked)


def test_another_epoch_has_other_extremes(shore):
    # The moon's node moves HAT from epoch to epoch by little, and MSL not at all.
    first = heights(shore, "--station", "8443970")
    second = heights(shore, "--station", "8443970", "--first-year", "2002")
    assert first["MSL"] == second["MSL"]
    assert 0.0 < abs(first["HAT"] - second["HAT"]) < 0.1


def test_a_secondary_station_is_refused_in_words(pier):
    message = refused(1, "datums", pier, "--station", "cove")
    assert str(pier) in message
    assert "'cove' follows 'pier'" in message
    assert "constituents of its own" in message


def test_a_station_without_tide_has_its_mean_level_alone(tmp_path):
    path = written(tmp_path, head("UTC"), STILL)
    table = {row["datum"]: row["height_m"] for row in rows("datums", path)}
    assert float(table.pop("MSL")) == 2.0
    assert set(table.values()) == {""}
    text = done("datums", path)
    assert "nan" not in text and "inf" not in text
    assert json.loads(done("datums", path, "--format", "json"))["mean_range_m"] is None
    assert heights_text(path, "msl")["MSL"] == "0.0"
    message = refused(1, "datums", path, "--above", "mllw")
    assert "'pier' has no high and low waters" in message


def heights_text(path, above):
    return {row["datum"]: row["height_m"] for row in rows("datums", path, "--above", above)}


def test_which_station_and_no_such_station(shore, pier, tmp_path):
    message = refused(1, "datums", shore)
    assert "--station" in message and all(station in message for station in STATION_IDS)
    assert "pier, cove" in refused(1, "datums", pier, "--station", "quay")
    assert rows("datums", simple(tmp_path))


@pytest.mark.parametrize(
    "arguments",
    [("--above", "chart"), ("--first-year", "999"), ("--first-year", "2901"), ("--format", "page")],
)
def test_wrong_usage(pier, arguments):
    assert arguments[0] in refused(2, "datums", pier, "--station", "pier", *arguments)


def test_the_last_epoch_that_may_be_asked_for(pier):
    assert document("datums", pier, "--station", "pier", "--first-year", "2900")["epoch"] == "2900 to 2918"
