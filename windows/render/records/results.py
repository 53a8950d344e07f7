"""Finished results that are rows, a text and a header: each part is made only when it is asked for."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from windows.render.records.tables import to_csv, to_json

if TYPE_CHECKING:
    import pandas as pd


class Result(NamedTuple):
    """A result in every form.

    Attributes:
        text: for people.
        frame: records for the machine formats.
        header: what JSON opens with.
        drawing: as SVG; None where it has none.
    """

    text: Callable[[], str]
    frame: Callable[[], "pd.DataFrame"]
    header: Callable[[], Mapping[str, Any]]
    drawing: Callable[[], str] | None = None


class PlaceResult(NamedTuple):
    """The part of a listing that one place has.

    Attributes:
        text, frame: as in `Result`.
        head: what a JSON header says of the place.
        remarks: sentences that stand beside the result, not in it.
    """

    text: Callable[[], str]
    frame: Callable[[], "pd.DataFrame"]
    head: Mapping[str, Any]
    remarks: tuple[str, ...] = ()


def joined(parts: Sequence[PlaceResult], plural: str, header: Mapping[str, Any]) -> Result:
    """Several places in one result: texts under each other, rows in one table.

    Args:
        parts: at least one.
        plural: the header's key for the places where there are several; a single one stands in the header.
        header: what the places share.
    """

    def frame() -> "pd.DataFrame":
        import pandas as pd

        every = [part.frame() for part in parts]
        return every[0] if len(every) == 1 else pd.concat(every, ignore_index=True)

    heads = [dict(part.head) for part in parts]
    places = heads[0] if len(heads) == 1 else {plural: heads}
    return Result(lambda: "\n".join(part.text() for part in parts), frame, lambda: {**header, **places})


def result_text(result: Result) -> str:
    """For people."""
    return result.text()


def result_csv(result: Result) -> str:
    """Rows alone."""
    return to_csv(result.frame())


def result_drawing(result: Result) -> str:
    """A drawing, of a result that has one."""
    assert result.drawing is not None
    return result.drawing()


def result_json(result: Result) -> str:
    """Header and rows."""
    return to_json(result.frame(), result.header())
