"""The registry of formats: every writer is there; choices, help and suffixes of the commands are its own."""

import inspect
from importlib import import_module

import click
import pytest

from windows.cli import main
from windows.render.formats import (
    FORMATS,
    WRITERS,
    RenderOptions,
    ResultKind,
    Writer,
    names_for,
    suffix_of,
    uses_for,
    write,
)

KIND_OF = {
    **{name: ResultKind[name.upper()] for name in ("week", "best", "compare")},
    **dict.fromkeys(("tides", "currents", "levels", "sky", "datums"), ResultKind.LISTING),
    "now": ResultKind.NOW,
    "fit": ResultKind.ANALYSIS,
    "import": ResultKind.CONSTITUENTS,
}
EVERY_WRITER = {writer.function: writer for writers in WRITERS.values() for writer in writers.values()}


def test_every_kind_of_result_can_be_written():
    assert set(WRITERS) == set(ResultKind)
    for kind in ResultKind:
        assert names_for(kind)
        assert set(WRITERS[kind]) == set(names_for(kind)) <= set(FORMATS)
    assert {name for writers in WRITERS.values() for name in writers} == set(FORMATS)


@pytest.mark.parametrize("function", EVERY_WRITER)
def test_every_writer_takes_a_result_and_the_options_it_names(function):
    writer = EVERY_WRITER[function]
    module, _, name = writer.function.partition(":")
    signature = inspect.signature(getattr(import_module(module), name))
    options = {item: getattr(RenderOptions(80), item) for item in writer.options}
    _, *others = list(signature.parameters)
    assert tuple(others[: len(writer.options)]) == writer.options
    signature.bind(object(), *options.values())


def test_a_writer_passes_the_options_in_its_order(monkeypatch):
    seen = []
    monkeypatch.setattr("windows.render.text.message.message", lambda *given: seen.append(given) or "made")
    writer = Writer("windows.render.text.message:message", ("mark", "width"))
    assert writer("a result", RenderOptions(72, "file.toml", 55.0)) == "made"
    assert seen == [("a result", 55.0, 72)]


def test_what_is_not_registered_is_refused():
    with pytest.raises(KeyError):
        write(ResultKind.LISTING, "ics", object(), RenderOptions(80))


@pytest.mark.parametrize("command", KIND_OF)
def test_the_choices_of_each_command_are_the_registry_s(command):
    found = main.get_command(click.Context(main), command)
    (option,) = [item for item in found.params if "--format" in item.opts]
    assert tuple(option.type.choices) == names_for(KIND_OF[command])
    assert option.default == names_for(KIND_OF[command])[0]
    assert uses_for(KIND_OF[command]) in option.help


def test_every_other_command_with_formats_has_those_of_some_kind():
    for name in main.list_commands(None):
        command = main.get_command(click.Context(main), name)
        for option in command.params:
            if "--format" in option.opts:
                held = [kind for kind in ResultKind if names_for(kind) == tuple(option.type.choices)]
                assert any(uses_for(kind) in option.help for kind in held), name


def test_suffixes():
    assert {name: suffix_of(name) for name in FORMATS} == {
        **{name: name for name in ("csv", "json", "svg", "png", "ics")},
        **{"table": "txt", "text": "txt", "page": "html"},
    }
