"""`import` of a current: the table to paste, what it lacks, what is refused. Numbers are invented."""

import tomllib

import pytest

from tests.cli.runs import done, refused, run

HEAD = "Station: The gut\nFlood direction: 300 degrees true\n"
ROWS = "Name Amplitude (kn) Phase (Greenwich)\nM2 1.50 60.0\nS2 0.30 90.0\nK1 0.20 100.0\n"
PLACE = ("--latitude", "43", "--longitude", "-70.5")


@pytest.fixture
def gut(tmp_path):
    path = tmp_path / "gut.txt"
    path.write_text(HEAD + ROWS, encoding="utf-8")
    return path


def imported(source, *options):
    """The table that is printed, and what is said beside it."""
    found = run("import", source, "-o", source.with_suffix(".csv"), *options)
    assert found.code == 0, found.err
    assert not found.out.endswith("\n\n")
    return tomllib.loads(found.out).get("currents", [{}])[0], found.err


def test_the_table_to_paste(gut):
    table, _ = imported(gut, *PLACE, "--mean-flow", "0.2", "--id", "gut-2")
    assert table == {
        "id": "gut-2", "name": "The gut", "latitude": 43.0, "longitude": -70.5, "flood_direction": 300.0,
        "ebb_direction": 120.0, "mean_flow": 0.2, "constituents": "gut.csv", "phase": "greenwich",
    }  # fmt: skip


def test_an_ebb_that_is_said_is_not_the_flood_turned_round(gut):
    table, _ = imported(gut, *PLACE, "--ebb-direction", "135")
    assert (table["flood_direction"], table["ebb_direction"], table["id"]) == (300.0, 135.0, "gut")
    assert table.get("mean_flow", 0.0) == 0.0


@pytest.mark.parametrize(
    ("given", "lacking"),
    [
        ((), "--latitude, --longitude"),
        (PLACE[:2], "--longitude"),
        (PLACE[2:], "--latitude"),
    ],
)
def test_what_the_table_lacks_is_named(gut, given, lacking):
    table, told = imported(gut, *given)
    assert table == {}
    assert told.endswith(f"Give {lacking} to have the [[currents]] table printed as well.\n")


def test_without_a_direction_it_is_asked_for(gut):
    gut.write_text(ROWS, encoding="utf-8")
    table, told = imported(gut, *PLACE)
    assert table == {}
    assert told.endswith("Give --flood-direction to have the [[currents]] table printed as well.\n")


def test_a_table_without_an_amplitude(gut):
    gut.write_text(
        HEAD + ROWS.replace("1.50", "0").replace("0.30", "0").replace("0.20", "0"), encoding="utf-8"
    )
    told = refused(1, "import", gut)
    assert told == f"ebblight: {gut}: found no amplitude above 0; expected a current's\n"
    gut.write_text("name,amplitude_m,phase_gmt\nM2,0,10\n", encoding="utf-8")
    assert refused(1, "import", gut) == told.replace("current's", "tide's")


def test_on_the_screen_the_table_says_where_it_comes_from(gut):
    found = run("import", gut)
    assert found.out.startswith("# from gut.txt\n") and "wrote" not in found.err
    assert "Give " not in found.err


def test_a_flow_that_is_no_station_s_has_no_slacks_of_its_own(tmp_path):
    from tests.coasts import simple

    path = simple(tmp_path)
    told = refused(1, "currents", path, "--spot", "ledge")
    assert told == f"ebblight: {path}: the flow of spot 'ledge' is not that of a current station\n"
    assert "ledge" in done("check", path)
