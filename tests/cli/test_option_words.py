"""What each option says of itself: a sentence, in the words and the form that the others have."""

import re
from pathlib import Path

import click
import pytest

from harmonics.files.published.units import PhaseKind, TableUnit
from windows.cli import main


def commands_of(group, words=()):
    """Every command with the words that call it."""
    for name in group.list_commands(None):
        command = group.get_command(click.Context(group), name)
        if isinstance(command, click.Group):
            yield from commands_of(command, (*words, name))
        else:
            yield (*words, name), command


def options_of(words):
    """Parameters of a command by name."""
    command = next(command for found, command in commands_of(main) if found == words)
    return [(option.name, option) for option in command.params]


EVERY = [pytest.param(command, id=" ".join(words)) for words, command in commands_of(main)]
FILES = {"file", "table", "weather", "observed", "output", "reference", "speeds", "record", "log"}


@pytest.mark.parametrize("command", EVERY)
def test_help_is_a_sentence(command):
    for option in command.params:
        if isinstance(option, click.Option) and "--help" not in option.opts:
            words = option.help or ""
            assert re.match(r'"?[A-Z0-9"]', words) and re.search(r'[.\]"]$', words), option.name
            assert words != words.upper(), option.name


@pytest.mark.parametrize("command", EVERY)
def test_options_are_long_and_of_small_letters(command):
    for option in command.params:
        for name in option.opts if isinstance(option, click.Option) else ():
            assert re.fullmatch(r"--[a-z]+(-[a-z]+)*|-[a-z]", name), name


@pytest.mark.parametrize("command", EVERY)
def test_what_names_a_file_arrives_as_a_path(command):
    for option in command.params:
        if option.name in FILES:
            assert isinstance(option.type, click.Path), option.name
            assert isinstance(option.type("a/b.csv", option, click.Context(command)), Path), option.name
        elif isinstance(option.type, click.Choice):
            assert all(re.fullmatch(r"[a-z/0-9-]+", str(choice)) for choice in option.type.choices), (
                option.name
            )


def test_units_and_lags_offered_are_those_that_tables_are_read_in():
    offered = {
        name: option for name, option in options_of(("import",)) if isinstance(option.type, click.Choice)
    }
    assert set(offered["units"].type.choices) == {unit.value for unit in TableUnit}
    assert set(offered["phase"].type.choices) == {kind.value for kind in PhaseKind}
    of_new = dict(options_of(("new",)))
    lengths = {unit.value for unit in TableUnit if unit.value.endswith(("metres", "feet", "inches"))}
    assert set(of_new["table_units"].type.choices) == lengths
    assert set(of_new["units"].type.choices) == {"feet", "metres"}


RANGES = {
    "days": (1, 7000),  # nineteen years, and some weeks
    "first_year": (1000, 2900),
    "last": (1, None),
    "mark": (0, 100),
    "number": (1, None),
    "permutations": (0, 1_000_000),
    "port": (1, 65535),
    "workers": (1, 61),  # as many as Windows can wait for
    # As the keys of station files.
    "utc_offset": (-14, 14),
    "flood_direction": (0, 360),
    "ebb_direction": (0, 360),
    "across_direction": (0, 360),
    "mean_flow": (-20, 20),
    "mean_level": (-100, 100),
}
FORECASTS = ("week", "best", "compare", "plan")
DAYS = {"best": 14, "plan": 14, "levels": 1}
DEFAULTS = {
    "first_year": 1983,
    "permutations": 4999,
    "step": 3600.0,
    "why": "best",
    "node_factors": "yearly",
    "robust": True,
    "infer": True,
    "trusted": True,
    "browser": True,
}


@pytest.mark.parametrize("command", EVERY)
def test_a_number_may_lie_between_these_and_not_beyond(command):
    for option in command.params:
        if not isinstance(option.type, click.IntRange | click.FloatRange):
            continue
        least, greatest = RANGES[option.name]
        if option.name == "days" and command.name in FORECASTS:
            greatest = 400
        context = click.Context(command)
        for end, beyond in ((least, -1), (greatest, 1)):
            if end is not None:
                assert option.type(str(end), option, context) == end
                with pytest.raises(click.BadParameter):
                    option.type(str(end + beyond), option, context)


@pytest.mark.parametrize("command", EVERY)
def test_what_is_taken_where_nothing_is_said(command):
    expected = {
        **DEFAULTS,
        "form": "csv" if command.name == "import" else "table",
        "days": DAYS.get(command.name, 7),
    }
    # A command keeps the help option of its first context.
    above = click.Context(main, **main.context_settings)
    taken = command.make_context(command.name, [], parent=above, resilient_parsing=True).params
    for option in command.params:
        value = taken.get(option.name)
        if isinstance(option, click.Option) and value not in (None, False, ()):
            assert value == expected[option.name], option.name
            assert option.show_default or option.is_flag, option.name


@pytest.mark.parametrize("command", EVERY)
def test_what_stands_for_a_value_is_in_capitals(command):
    for option in command.params:
        assert re.fullmatch(r"[A-Z]+", option.metavar or "VALUE"), option.name


def test_each_line_of_the_list_is_a_sentence_of_its_own():
    for group in (main, main.get_command(click.Context(main), "log")):
        said = [words for _, words in group.table.values()]
        assert len(said) == len(set(said))
        assert all(re.fullmatch(r"[A-Z][a-z]*[ ,:].*\w\.?", words) for words in said), said
