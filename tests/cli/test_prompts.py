"""What `add` and `new` ask at a terminal, one question after another, and what they offer."""

import tomllib

import pytest
from click.testing import CliRunner

from tests.cli.runs import NOW, run
from tests.cli.test_one_mistake import laid_out
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, station, written
from windows.cli import add, adding, main, new, questions
from windows.cli.options import Clock

TIDE = "Amplitudes in metres, phases GMT\nName Amplitude Phase\nM2 1.2 100\nS2 0.2 130\nK1 0.1 20\n"
CURRENT = "Name Amplitude (kn) Phase (Greenwich)\nM2 1.50 60.0\nS2 0.30 90.0\nK1 0.20 100.0\n"
PLACE = (
    ("Name", "Old dock"),
    ("Latitude, degrees, north positive", "43.11"),
    ("Longitude, degrees, west negative", "-70.705"),
)


@pytest.fixture
def folder(tmp_path):
    """A file with all kinds of places, and tables beside it."""
    laid_out(tmp_path, None)
    (tmp_path / "tide.txt").write_text(TIDE, encoding="utf-8")
    (tmp_path / "current.txt").write_text(CURRENT, encoding="utf-8")
    return tmp_path


@pytest.fixture
def prompts(monkeypatch):
    """The questions of a run at a terminal whose person leaves after the last answer."""
    for module in (add, new, questions):
        monkeypatch.setattr(module, "at_terminal", lambda: True)

    def asked(arguments, answers):
        typed = "".join(f"{answer}\n" for answer in answers)
        words = [str(argument) for argument in arguments]
        found = CliRunner().invoke(main, words, input=typed, obj=Clock(lambda: NOW))
        assert found.exit_code == 1, found.output
        assert found.stderr.rstrip().endswith("Aborted!")
        return found.stderr

    return asked


def in_order(text, dialogue):
    """Whether each question stands in the text whole, after the one before it."""
    places = [0]
    for question, _ in dialogue:
        places.append(text.find(f"{question}:", places[-1]))
        assert places[-1] >= 0, (question, text)
    return places == sorted(places)


@pytest.mark.parametrize(
    ("kind", "table", "dialogue"),
    [
        ("spot", None, (*PLACE, ("Id of the station whose tide it has", None))),
        ("landing", None, (*PLACE[:2], (PLACE[2][0], None))),
        ("boat", None, (("Speed, knots", None),)),
        (
            "way",
            None,
            (
                ("Id of the place at one end", "a"),
                ("Id of the place at the other end", "b"),
                ("Minutes from one to the other", None),
            ),
        ),
        (
            "bank",
            None,
            (
                ("Name", "Bed"),
                ("Id of the station whose tide it has", "pier"),
                ("What is gathered there (crab, worm, shrimp, other) [crab]", ""),
                ("Level below which it bares, metres above MLLW", None),
            ),
        ),
        (
            "station",
            "tide.txt",
            (
                *PLACE,
                ("Heights are counted from (MLLW, LAT ...)", "MLLW"),
                ("Mean sea level above that, metres", None),
            ),
        ),
        (
            "current",
            "current.txt",
            (
                *PLACE,
                ("The flood sets to, degrees true", "40"),
                ("The ebb sets to, degrees true", None),
            ),
        ),
        ("station", None, (("File with the published constituents", None),)),
    ],
)
def test_add_asks_for_what_it_needs(folder, prompts, kind, table, dialogue):
    given = () if table is None else ("--table", folder / table)
    before = (folder / "shore.toml").read_bytes()
    text = prompts(
        ("add", kind, folder / "shore.toml", *given), [said for _, said in dialogue if said is not None]
    )
    assert in_order(text, dialogue)
    assert (folder / "shore.toml").read_bytes() == before


def test_new_asks_then_offers_what_follows_and_ends_with_the_folder(folder, prompts):
    dialogue = (
        ("Name of the station [tide]", "Old dock"),
        ("Its latitude, degrees, north positive", "43.11"),
        ("Its longitude, degrees, west negative", "-70.705"),
        ("Heights are counted from (MLLW, LAT ...; MSL is mean sea level) [MSL]", "MLLW"),
        ("Mean sea level above that, metres", "1.5"),
        ("Name of your first spot", "Ledge"),
        ("The spot's latitude [43.11]", ""),
        ("The spot's longitude [-70.705]", ""),
        ("People there read the clock of [America/New_York]", ""),
        ("You read heights in (feet, metres) [metres]", ""),
        ("Folder for your file [old-dock]", None),
    )
    assert in_order(prompts(("new", folder / "tide.txt"), [said for _, said in dialogue[:-1]]), dialogue)


@pytest.mark.parametrize(
    ("kind", "missing"),
    [
        ("spot", "--name, --latitude, --longitude, --station"),
        ("bank", "--name, --station, --bare-below"),
        ("landing", "--name, --latitude, --longitude"),
        ("boat", "--speed-kn"),
        ("way", "--from, --to, --minutes"),
        ("station", "--table"),
    ],
)
def test_without_a_terminal_what_is_missing_is_named(folder, kind, missing):
    assert run("add", kind, folder / "shore.toml").err.endswith(f"Error: missing options: {missing}\n")


@pytest.mark.parametrize(
    ("kind", "table", "told"),
    [
        ("station", "current.txt", "found a current; expected a tide: ebblight add current"),
        ("current", "tide.txt", "found a tide; expected a current: ebblight add station"),
    ],
)
def test_a_table_of_the_other_kind_names_the_command_for_it(folder, kind, table, told):
    source, shore = folder / table, folder / "shore.toml"
    found = run("add", kind, shore, "--table", source)
    assert found.err.splitlines()[-1] == f"ebblight: {source}: {told} {shore}"


def test_levels_are_asked_for_as_the_spot_s_own_station_counts_them(tmp_path):
    other = station("quay", [("M2", 1.0, 100.0)], latitude=50.3, longitude=-5.0, datum="LAT")
    path = written(tmp_path, head(), other, SIMPLE_STATION, SIMPLE_SPOT)
    asked = [adding.levels_of(path, name) for name in ("pier", "quay", "none", None)]
    assert asked == [f"metres above {datum}" for datum in ("Chart datum", "LAT", "datum", "datum")]


def test_a_table_that_is_asked_for_is_a_path(folder, monkeypatch):
    for module in (add, questions):
        monkeypatch.setattr(module, "at_terminal", lambda: True)
    shore, table = folder / "shore.toml", folder / "tide.txt"
    words = ["add", "station", str(shore), "--name", "New", "--datum", "LAT", "--mean-level", "1.5"]
    words += ["--latitude", "43.1", "--longitude", "-70.7"]
    found = CliRunner().invoke(main, words, input=f"{table}\n", obj=Clock(lambda: NOW))
    assert found.exit_code == 0, found.output
    assert "New" in shore.read_text(encoding="utf-8")


@pytest.mark.parametrize("unit", ["metres", "feet"])
def test_the_mean_level_that_a_table_tells_is_taken_in_its_own_unit(folder, unit):
    table, shore = folder / "z.txt", folder / "shore.toml"
    table.write_text(TIDE.replace("metres", unit) + "Z0 1.35 0\n", encoding="utf-8")
    place = ("--latitude", "43.1", "--longitude", "-70.7", "--datum", "LAT", "--name", "New")
    assert run("add", "station", shore, "--table", table, *place).code == 0
    (added,) = [item for item in tomllib.loads(shore.read_text())["stations"] if item["name"] == "New"]
    assert (added["mean_level"], added["length_unit"]) == (pytest.approx(1.35), unit)
