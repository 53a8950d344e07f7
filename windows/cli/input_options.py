"""What `import` and `fit` share: options that say what a file leaves unsaid, and problems that name them."""

from collections.abc import Iterator
from contextlib import contextmanager

import click

from windows.cli.options import Decorator

_OPTIONS = {
    "units": "--units",
    "no unit": "--units",
    "phase": "--phase",
    "utc_offset": "--utc-offset",
    "flood direction": "--flood-direction",
    "ebb direction": "--ebb-direction",
    "minor axis": "--across-direction",
    "a clock without a zone": "--zone",
}
"""The option that gives what a table or a record lacks, by the problem's place or by what was found."""

unit_option: Decorator = click.option(
    "--units", type=click.Choice(["feet", "metres"]), help="Unit, where the file does not say."
)


@contextmanager
def options_named() -> Iterator[None]:
    """Problems that an option solves name it.

    Raises:
        FileProblemsError: the one raised inside, with the options' names.
    """
    from harmonics.errors import FileProblemsError, Problem

    try:
        yield
    except FileProblemsError as error:
        problems = []
        for item in error.problems:
            option = _OPTIONS.get(item.where) or _OPTIONS.get(item.found)
            hint = "" if option is None else f" ({option})"
            problems.append(Problem(item.where, item.found, item.expected + hint))
        raise FileProblemsError(error.path, tuple(problems)) from None
