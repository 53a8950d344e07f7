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


def test_each_line_of_the_list_is_a_sentence_of_its_own():
    for group in (main, main.get_command(click.Context(main), "log")):
        said = [words for _, words in group.table.values()]
        assert len(said) == len(set(said))
        assert all(re.fullmatch(r"[A-Z][a-z]*[ ,:].*\w\.?", words) for words in said), said
