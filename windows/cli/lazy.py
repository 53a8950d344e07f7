"""Groups of commands whose modules are imported only when they run: `--help` stays quick."""

import builtins
from collections.abc import Mapping
from importlib import import_module
from keyword import iskeyword
from typing import Any

import click


class LazyGroup(click.Group):
    """Commands by name, each in a module of a package under that name, with `_` where Python uses it.

    Attributes:
        package: that holds the modules.
        table: module and help of each command, in the order of help.
    """

    def __init__(self, *args: Any, package: str, table: Mapping[str, tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.package = package
        self.table = table

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Their names."""
        return list(self.table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of a name; None where there is none."""
        if cmd_name not in self.table:
            return None
        module, _ = self.table[cmd_name]
        name = f"{cmd_name}_" if iskeyword(cmd_name) or hasattr(builtins, cmd_name) else cmd_name
        command = getattr(import_module(f"{self.package}.{module}"), name)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands in help, without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in self.table.items()])
