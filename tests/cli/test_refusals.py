"""What a command says where options do not fit together or a file lacks what it needs, word for word."""

import pytest

from tests.cli.runs import DEMOS, refused
from tests.coasts import SIMPLE_SPOT, SIMPLE_STATION, head, written

DEMO = next(path for path in DEMOS if path.stem == "pellaway_sound")
ONE_STATION = "--observed has readings of one station: name one file, not a folder"
LEVELS_ALONE = "--station, --spot, --from and --refit are for levels, not for --current"
ONE_FILE = "--current takes one file, and gives a table, csv or json"
TOGETHER = "--current and --speeds go together: whose speeds, and what was observed"
SPEEDS = ("--current", "c", "--speeds", "s.csv")
DAY = "is not a date from 1000-01-01 to 2999-12-31, as 2026-08-15"
START = "is not today, tomorrow, a weekday as fri, or a date from 1000-01-01 to 2999-12-31, as 2026-08-15"
ZONE = "'Atlantis' is not an IANA time zone"
READING = "--reading is of one station, and stands without --observed or a folder"
ONE_DAY = "--day is one day: leave out --start and --days"
OBSERVING = ("week", "best", "compare", "now", "plan", "levels")
USAGE = [
    (("week", DEMO.parent), f"'{DEMO.parent}' is a folder: name a folder for the results with -o"),
    (("week", DEMO, "--workers", "2"), f"--workers is for a folder of files, which '{DEMO}' is not"),
    *(((name, DEMO.parent, "--observed", "r.csv"), ONE_STATION) for name in OBSERVING),
    (("now", DEMO.parent, "--reading", "2.4"), READING),
    (("now", DEMO, "--reading", "2.4", "--observed", "r.csv"), READING),
    (("plan", DEMO, "--day", "2026-08-15", "--start", "today"), ONE_DAY),
    (("plan", DEMO, "--day", "2026-08-15", "--days", "2"), ONE_DAY),
    (("tides", DEMO, "--station", "a", "--spot", "b"), "name a station or a spot, not both"),
    (("prove", DEMO, "--current", "c"), TOGETHER),
    (("prove", DEMO, "--speeds", "s.csv"), TOGETHER),
    (("prove", DEMO, *SPEEDS, "--station", "a"), LEVELS_ALONE),
    (("prove", DEMO, *SPEEDS, "--spot", "a"), LEVELS_ALONE),
    (("prove", DEMO, *SPEEDS, "--from", "2026-08-15"), LEVELS_ALONE),
    (("prove", DEMO, *SPEEDS, "--refit"), LEVELS_ALONE),
    (("prove", DEMO.parent, *SPEEDS), ONE_FILE),
    (("prove", DEMO, *SPEEDS, "--format", "svg"), ONE_FILE),
    (("prove", DEMO, "--from", "15 August"), f"Invalid value for '--from': '15 August' {DAY}"),
    (("prove", DEMO, "--from", "0999-12-31"), f"Invalid value for '--from': '0999-12-31' {DAY}"),
    (("prove", DEMO, "--from", "3000-01-01"), f"Invalid value for '--from': '3000-01-01' {DAY}"),
    (("week", DEMO, "--start", "soon"), f"Invalid value for '--start': 'soon' {START}"),
    (
        ("levels", DEMO, "--step", "59s"),
        "Invalid value for '--step': '59s' is not a step from 1min to 24h, such as 6min or 1h",
    ),
    (("guide", "week", "--schema"), "--schema stands alone: it is of the whole file"),
    (("fit", "r.csv", "--zone", "Atlantis"), f"Invalid value for '--zone': {ZONE}"),
    (("log", "edit", DEMO, "1", "--remove", "--restore"), "--remove or --restore, not both"),
    (("log", "edit", DEMO, "1"), "nothing to change: name what the trip should say instead"),
    (
        ("log", "import", "t.csv", "--compute"),
        "--compute takes the forecast from a station file: name it after the table",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("arguments", "words"), USAGE)
def test_options_that_do_not_fit(arguments, words):
    assert refused(2, *arguments).splitlines()[-1] == f"Error: {words}"


@pytest.fixture
def bare(tmp_path):
    """A file with a station and nothing else."""
    return written(tmp_path, head(), SIMPLE_STATION)


@pytest.mark.parametrize(
    ("command", "words"),
    [
        ("week", "the file has no [[spots]]; a forecast of windows needs one"),
        ("plan", "the file has no [[spots]]; a plan needs one to fish at"),
    ],
)
def test_a_file_without_spots(bare, command, words):
    assert refused(1, command, bare) == f"ebblight: {bare}: {words}\n"


def test_an_open_choice_names_what_there_is(tmp_path):
    other = SIMPLE_SPOT.replace('"ledge"', '"flat"')
    path = written(tmp_path, head(), SIMPLE_STATION, SIMPLE_SPOT, other)
    assert refused(1, "week", path) == f"ebblight: {path}: which spot? Name one with --spot: ledge, flat\n"
    which = f"ebblight: {path}: which place? Name one with --spot or --station: ledge, flat"
    assert refused(1, "sky", path).startswith(which)
    lost = refused(1, "sky", path, "--station", "lost")
    assert lost.startswith(f"ebblight: {path}: no place 'lost' with a position; those there are: ledge, flat")


@pytest.mark.parametrize(
    ("command", "told"),
    [
        ("tides", "which station? The file has no [[stations]]"),
        ("levels", "which station? The file has no [[stations]]"),
        ("datums", "which station? The file has no [[stations]]"),
        ("currents", "which current? The file has no [[currents]]"),
        ("sky", "which place? The file has no [[spots]] or [[stations]] with a position"),
    ],
)
def test_a_file_with_nothing_to_choose_from_says_so(tmp_path, command, told):
    path = written(tmp_path, head())
    assert refused(1, command, path).strip() == f"ebblight: {path}: {told}"
