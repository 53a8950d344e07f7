"""What each option says of itself: a sentence, in the words and the form that the others have."""

import re
from pathlib import Path

import click
import pytest

from windows.cli import main


def commands_of(group, words=()):
    """Every command with the words that call it."""
    for name in group.list_commands(None):
        command = group.get_command(click.Context(group), name)
        if isinstance(command, click.Group):
            yield from commands_of(command, (*words, name))
        else:
            yield (*words, name), command


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


def test_each_line_of_the_list_is_a_sentence_of_its_own():
    for group in (main, main.get_command(click.Context(main), "log")):
        said = [words for _, words in group.table.values()]
        assert len(said) == len(set(said))
        assert all(re.fullmatch(r"[A-Z][a-z]*[ ,:].*\w\.?", words) for words in said), said
