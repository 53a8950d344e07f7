"""A published table that was pasted or sent, read with what the form says of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from starlette.datastructures import FormData, UploadFile

from harmonics.errors import FileProblemsError, Problem
from harmonics.files.agency_tables import TableOptions, import_table
from harmonics.files.published.results import ImportedCurrent, ImportedTable
from harmonics.files.published.statements import Fact
from harmonics.files.published.units import PhaseKind, TableUnit
from windows.app.fields import number_in
from windows.app.pages import texts_of
from windows.render.words import table_forms as words

PASTED, SENT = "table", "file"
NUMBERS = frozenset(
    {
        *("latitude", "longitude", "mean_level", "spot_latitude", "spot_longitude", "utc_offset"),
        *("flood_direction", "ebb_direction", "across_direction", "mean_flow"),
    }
)
RANGES = {
    **dict.fromkeys(("latitude", "spot_latitude"), (-90.0, 90.0)),
    **dict.fromkeys(("longitude", "spot_longitude"), (-180.0, 180.0)),
    "mean_level": (-1000.0, 1000.0),
    "utc_offset": (-14.0, 14.0),
    **dict.fromkeys(("flood_direction", "ebb_direction", "across_direction"), (0.0, 360.0)),
    "mean_flow": (-20.0, 20.0),
}
"""Of numbers in forms, in degrees, hours, knots, and the table's unit of levels."""
_FIELDS = {
    "units": "table_units",
    "no unit": "table_units",
    "phase": "phase",
    "utc_offset": "utc_offset",
    "flood direction": "flood_direction",
    "ebb direction": "ebb_direction",
    "minor axis": "across_direction",
}
"""The field that gives what a table lacks, by the problem's place or by what was found."""
PATH = "the table"


class FormError(FileProblemsError):
    """What a form says makes no table: each problem under the name of its field."""


@dataclass(frozen=True)
class Answered:
    """What a form says.

    Attributes:
        texts: of its fields, as they were typed.
        values: numbers and texts that were given, by field.
        table: text of the published table.
        source: what it is called.
    """

    texts: Mapping[str, str]
    values: Mapping[str, Any]
    table: str
    source: str


async def answered(form: FormData) -> Answered:
    """The form, its uploaded file taken where the text was not pasted.

    Raises:
        FormError: a number that is none or can't be, a choice that is not offered, or bytes that are no text.
    """
    texts = texts_of(form)
    sent, source = form.get(SENT), "pasted"
    table = texts.get(PASTED, "")
    data = await sent.read() if isinstance(sent, UploadFile) and not table.strip() else b""
    await form.close()
    if data and isinstance(sent, UploadFile):
        table, source = _text(data), (sent.filename or source)[:100]
        texts[PASTED] = table
    return Answered(texts, _values(texts), table, source)


def _text(data: bytes) -> str:
    for encoding in ("utf-16",) if data[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252"):
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise FormError(PATH, (Problem(PASTED, words.NO_TEXT, words.TABLE_EXPECTED),))


def _values(texts: Mapping[str, str]) -> dict[str, Any]:
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    for key, text in texts.items():
        if not text.strip() or key == PASTED:
            continue
        if key not in NUMBERS:
            values[key] = " ".join(text.split())
            if values[key] not in words.CHOICES.get(key, (values[key],)):
                problems.append(Problem(key, words.NOT_OFFERED, words.ONE_OF_THEM))
            continue
        plain, (least, most) = text.replace("\u2212", "-"), RANGES[key]
        number = number_in(key.removeprefix("spot_"), plain)
        if isinstance(number, str) or not least <= number <= most:
            problems.append(Problem(key, f"'{text.strip()[:60]}'", words.number_expected(key, least, most)))
        else:
            values[key] = float(number)
    if problems:
        raise FormError(PATH, tuple(problems))
    return values


def read_table(said: Answered) -> ImportedTable | ImportedCurrent:
    """The table.

    Raises:
        FormError: there is none, or it lacks something that a field can say.
    """
    if not said.table.strip():
        raise FormError(PATH, (Problem(PASTED, "nothing", words.TABLE_EXPECTED),))
    values = said.values
    try:
        options = TableOptions(
            None if "table_units" not in values else TableUnit(values["table_units"]),
            None if "phase" not in values else PhaseKind(values["phase"]),
            values.get("utc_offset"),
            values.get("longitude"),
            {
                Fact.FLOOD: values.get("flood_direction"),
                Fact.EBB: values.get("ebb_direction"),
                Fact.ACROSS: values.get("across_direction"),
                Fact.MEAN_FLOW: values.get("mean_flow"),
            },
        )
        found = import_table(said.table, PATH, options)
    except FileProblemsError as error:
        raise FormError(PATH, tuple(map(_placed, error.problems))) from None
    constants = found.constants if isinstance(found, ImportedTable) else found.along
    if not constants.constituents:
        raise FormError(PATH, (Problem(PASTED, words.NO_AMPLITUDE, words.TABLE_EXPECTED),))
    return found


def _placed(problem: Problem) -> Problem:
    """The problem under the field that can solve it; what no field can, under the table."""
    field = _FIELDS.get(problem.where) or _FIELDS.get(problem.found)
    if field is not None:
        return Problem(field, problem.found, problem.expected)
    return Problem(PASTED, f"{problem.where}: {problem.found}", problem.expected)
