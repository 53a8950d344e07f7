"""Answers that a command needs: from its options, else asked for at a terminal, else named as missing."""

import sys
from collections.abc import Sequence
from typing import Any, NamedTuple

import click


class Question(NamedTuple):
    """One answer that is needed.

    Attributes:
        key: of the answer.
        option: that gives it.
        text: of the prompt.
        kind: what it may be.
        default: offered where the user is asked; None for no offer.
    """

    key: str
    option: str
    text: str
    kind: Any = str
    default: Any = None


def at_terminal() -> bool:
    """Whether somebody is there to be asked."""
    return sys.stdin.isatty()


def answered(questions: Sequence[Question], known: dict[str, Any]) -> dict[str, Any]:
    """All answers; those not known are asked for.

    Raises:
        click.UsageError: nobody is there to be asked; with the options that are missing.
    """
    missing = [question for question in questions if known.get(question.key) is None]
    if missing and not at_terminal():
        raise click.UsageError("missing options: " + ", ".join(question.option for question in missing))
    given = dict(known)
    for question in missing:
        given[question.key] = click.prompt(
            question.text, type=question.kind, default=question.default, err=True
        )
    return given
