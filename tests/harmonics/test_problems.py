"""Places in a file, and the problems reported there."""

import pickle

import pytest

from harmonics.errors import FileProblemsError, Problem, UnknownConstituentError
from harmonics.files.problems import Here, Problems, key_path, named, shown, without_echoes


@pytest.fixture
def problems():
    return Problems("shore.toml")


@pytest.fixture
def top(problems):
    return Here("", problems)


def lines(problems):
    return [str(problem) for problem in problems]


def test_a_problem_stands_at_its_key_path(top, problems):
    flow = top.at("spots", 0).at("flow")
    flow.say("no way to know the flow", "one of: current ...")
    flow.at("factor").say("-1", "a factor above 0")
    top.at("spots", 1, "station").missing("the id of one of [[stations]]")
    top.say("an empty file", "a title")
    assert lines(problems) == [
        "spots[0].flow: found no way to know the flow; expected one of: current ...",
        "spots[0].flow.factor: found -1; expected a factor above 0",
        "spots[1].station: found nothing (the key is missing); expected the id of one of [[stations]]",
        "file: found an empty file; expected a title",
    ]


def test_a_line_of_a_table_has_columns_inside(top, problems):
    line = top.at("stations", 2, "constituents").line("(port.csv line 4)")
    line.say("2 values", "3")
    line.at("amplitude").say("'x'", "a number")
    top.line("line 7").at("speed").say("'y'", "degrees an hour")
    assert [problem.where for problem in problems] == [
        "stations[2].constituents (port.csv line 4)",
        "stations[2].constituents (port.csv line 4) amplitude",
        "line 7 speed",
    ]


def test_clean_until_something_is_reported_here_or_inside(top):
    first, tenth = top.at("stations", 1), top.at("stations", 10)
    assert first.clean
    tenth.at("name").say("5", "a text")
    assert first.clean
    assert not tenth.clean
    first.at("constituents").line("(a.csv line 2)").at("phase").say("x", "y")
    assert not first.clean
    assert not top.clean


def test_a_text_that_its_parser_refuses(top, problems):
    def parse(text):
        if text != "8oz":
            raise ValueError("a weight such as 8oz")
        return 0.227

    assert top.at("fishing", "lead").parsed(parse, "8oz") == 0.227
    assert not problems
    assert top.at("fishing", "lead").parsed(parse, "heavy") is None
    assert lines(problems) == ["fishing.lead: found 'heavy'; expected a weight such as 8oz"]


def test_all_problems_are_one_error(top, problems):
    top.at("title").missing("a text")
    top.at("units").say("'miles'", '"feet" or "metres"')
    error = problems.error()
    assert isinstance(error, FileProblemsError)
    assert error.problems == tuple(problems)
    assert str(error).startswith("shore.toml: 2 problems\n  title: found nothing")


def test_echoes_of_a_key_or_of_a_table_are_dropped(top, problems):
    for where in ("spots[0].hours", "spots[0].hours", "spots[0]", "spots[1]", "spots[1].name"):
        Here(where, problems).say("x", "y")
    assert [problem.where for problem in without_echoes(problems)] == [
        "spots[0].hours",
        "spots[1]",
        "spots[1].name",
    ]
    assert len(problems) == 5


@pytest.mark.parametrize(
    ("parts", "path"),
    [
        (("stations", 0, "latitude"), "stations[0].latitude"),
        (("a-b_1", "c"), "a-b_1.c"),
        (("a.b",), '"a.b"'),
        (("x", "\x1b[31m"), 'x."\\u001b[31m"'),
        (("", "y"), '"".y'),
        (("k" * 100,), "k" * 60),
    ],
)
def test_key_paths(parts, path):
    assert key_path("", *parts) == path


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ({}, "an empty table"),
        ({"a": 1}, "a table"),
        ([1, 2], "a list of 2"),
        (True, "true"),
        ("pier", "'pier'"),
        ("p" * 61, repr("p" * 60 + "...")),
        (-5, "-5"),
        (10**400, "a huge whole number"),
        (1.5, "1.5"),
    ],
)
def test_values_as_shown(value, text):
    assert shown(value) == text
    assert named(value) == (value if isinstance(value, str) else text)


def test_reading_ends_after_a_thousand(top, problems):
    for number in range(1000):
        top.line(f"line {number}").say("x", "y")
    with pytest.raises(FileProblemsError) as caught:
        top.say("x", "y")
    assert caught.value.path == "shore.toml"
    assert len(caught.value.problems) == 1001
    assert str(caught.value.problems[-1]) == (
        "file: found more problems, not listed here; expected these to be corrected first"
    )


def test_what_would_steer_a_terminal_is_escaped_and_the_rest_stays():
    assert str(Problem("a", "b\x1b[2Jå", "c")) == "a: found b\\x1b[2Jå; expected c"


def test_errors_pass_from_one_process_to_another():
    for error in (
        FileProblemsError("a.toml", (Problem("a", "b", "c"),)),
        UnknownConstituentError("M22", ("M2",)),
    ):
        again = pickle.loads(pickle.dumps(error))
        assert (type(again), str(again), vars(again)) == (type(error), str(error), vars(error))
