"""Fields of a form as a template shows them."""

from typing import NamedTuple


class Option(NamedTuple):
    """One of several values of a choice."""

    value: str
    label: str


class FieldView(NamedTuple):
    """A field.

    Attributes:
        key: its name when the form is sent.
        label, hint: what is asked, and how to write it.
        value: what stands in it.
        kind: text, lines, table, choice or flag.
        options: of a choice.
        problems: what is wrong with the value.
        needed: whether nothing can be done without it.
    """

    key: str
    label: str
    hint: str
    value: str
    kind: str
    options: tuple[Option, ...] = ()
    problems: tuple[str, ...] = ()
    needed: bool = False


class Group(NamedTuple):
    """Fields under a heading; `open` where they show at once."""

    heading: str
    fields: tuple[FieldView, ...]
    open: bool = True
