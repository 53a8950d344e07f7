"""A finished result in every form a command offers."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Result:
    """Each form is made only when asked for.

    Attributes:
        text: for people.
        frame: records for the machine formats.
        header: what JSON opens with.
    """

    text: Callable[[], str]
    frame: Callable[[], "pd.DataFrame"]
    header: Callable[[], Mapping[str, Any]]
