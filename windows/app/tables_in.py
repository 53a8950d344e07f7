"""A station or a current more in a file, from a published table."""

from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from harmonics.errors import EbblightError, FileProblemsError, Problem, printable
from harmonics.files.current_text import speed_csv
from harmonics.files.published.results import ImportedCurrent, ImportedTable
from harmonics.files.station_text import constituent_csv
from harmonics.units import METRES_PER_SECOND_PER_KNOT
from windows.app.folder import Opened
from windows.app.pages import Pages, sent, texts_of
from windows.app.refusals import Refusal, RefusedError
from windows.app.saving import save_text
from windows.app.table_reading import PASTED, PATH, Answered, FormError, answered, read_table
from windows.render.page.around import Site
from windows.render.page.forms import FieldView, Group, Option
from windows.render.page.site import address, screen
from windows.render.words import file_forms as form_words
from windows.render.words import pages as words
from windows.render.words import table_forms as texts
from windows.render.words.imported import sentences
from windows.shoreline.additions import added
from windows.shoreline.ids import free_id

Texts = tuple[dict[str, Any], Callable[[tuple[str, ...]], str]]
LAYOUTS = {"stations": texts.STATION_GROUPS, "currents": texts.CURRENT_GROUPS}
HEADS = {"stations": texts.NEW_STATION, "currents": texts.NEW_CURRENT}


async def station(request: Request) -> Response:
    """The form of a station or a current from a published table."""
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    kind = request.path_params["kind"]
    if not opened.document:
        raise RefusedError(Refusal.NOTHING)
    if request.method == "GET":
        return _shown(pages.site(opened.name, "shore"), opened, kind, {}, ())
    form = await pages.posted(request)
    texts_given = texts_of(form)
    try:
        said = await answered(form)
        texts_given = dict(said.texts)
        return await run_in_threadpool(_take, pages, opened, kind, said)
    except FileProblemsError as error:
        return _shown(pages.site(opened.name, "shore"), opened, kind, texts_given, error.problems)
    except EbblightError as error:
        told = (Problem("", "", str(error)),)
        return _shown(pages.site(opened.name, "shore"), opened, kind, texts_given, told)


def _shown(
    site: Site, opened: Opened, kind: str, values: Mapping[str, str], problems: tuple[Problem, ...]
) -> Response:
    groups, loose = placed(LAYOUTS[kind], values, problems)
    base = address(opened.name, "shore")
    text = screen(
        "from_table.html",
        site,
        HEADS[kind],
        groups=groups,
        problems=loose,
        revision=opened.revision,
        action=f"{base}/{kind}/new",
        button=words.SAVE,
    )
    return sent(text, 422 if problems else 200)


def placed(
    layout: Mapping[str, tuple[str, ...]], values: Mapping[str, str], problems: tuple[Problem, ...]
) -> tuple[tuple[Group, ...], tuple[str, ...]]:
    """Groups of fields with the problems of each, and the problems of none."""
    keys = {key for group in layout.values() for key in group}
    owned: dict[str, tuple[str, ...]] = {}
    loose: list[str] = []
    for problem in problems:
        key = problem.where.rpartition(".")[2]
        key = "station_name" if key == "name" and "name" not in keys else key
        if key in keys:
            owned[key] = (*owned.get(key, ()), form_words.wrong(problem.found, problem.expected))
        else:
            loose.append(str(problem) if problem.found else printable(problem.expected))
    return _groups(layout, values, owned), tuple(loose)


def _groups(
    layout: Mapping[str, tuple[str, ...]],
    values: Mapping[str, str],
    problems: Mapping[str, tuple[str, ...]],
) -> tuple[Group, ...]:
    """The fields of such a form, with what stands in them and what is wrong with it."""
    made = []
    for heading, keys in layout.items():
        fields = tuple(
            FieldView(
                key,
                texts.LABELS[key],
                texts.HINTS.get(key, ""),
                values.get(key, ""),
                "table" if key == "table" else "choice" if key in texts.CHOICES else "text",
                tuple(Option(item, item) for item in texts.CHOICES.get(key, ())),
                problems.get(key, ()),
            )
            for key in keys
        )
        said = heading != texts.UNSAID or any(field.value or field.problems for field in fields)
        made.append(Group(heading, fields, said))
    return tuple(made)


def _take(pages: Pages, opened: Opened, kind: str, said: Answered) -> Response:
    found = read_table(said)
    keys, table = _station(found, said) if kind == "stations" else _current(found, said)
    name = str(keys["name"])
    identifier = free_id(opened.document, kind, name)
    keys = {"id": identifier, **keys, "constituents": f"{identifier}.csv"}
    told = (f"from {said.source}", *sentences(found))
    text = added(opened.name, opened.text or "", kind, keys).text
    revision = said.texts.get("revision", "")
    back = save_text(pages.folder, opened, revision, text, {f"{identifier}.csv": table(told)})
    here = address(opened.name, "shore")
    sentence = " ".join((words.saved(form_words.kind_words(kind), name), *told[1:]))
    ticket = pages.undoings.tell(sentence, here, back)
    return RedirectResponse(f"{here}?{urlencode({'done': ticket})}", 303)


def _station(found: ImportedTable | ImportedCurrent, said: Answered) -> Texts:
    if not isinstance(found, ImportedTable):
        raise FormError(PATH, (Problem(PASTED, texts.NOT_A_TIDE, texts.TABLE_EXPECTED),))
    level = None if found.mean_level is None else found.mean_level / found.unit.metres
    keys = _known(found, said, ("name", "latitude", "longitude", "datum", "mean_level"), mean_level=level)
    return {**keys, "length_unit": found.unit.value}, lambda told: constituent_csv(
        found.constants, found.unit, told
    )


def _current(found: ImportedTable | ImportedCurrent, said: Answered) -> Texts:
    if not isinstance(found, ImportedCurrent):
        raise FormError(PATH, (Problem(PASTED, texts.NOT_A_CURRENT, texts.TABLE_EXPECTED),))
    if found.across is not None:
        raise FormError(PATH, (Problem(PASTED, texts.TWO_AXES, texts.TABLE_EXPECTED),))
    needed = ("name", "latitude", "longitude", "flood_direction", "ebb_direction")
    keys = _known(
        found, said, needed, flood_direction=found.flood_direction, ebb_direction=found.ebb_direction
    )
    mean = round(found.mean_along / METRES_PER_SECOND_PER_KNOT, 4) + 0.0
    return {**keys, "mean_flow": mean}, lambda told: speed_csv(found.along, told)


def _known(
    found: ImportedTable | ImportedCurrent, said: Answered, needed: tuple[str, ...], **more: float | None
) -> dict[str, Any]:
    """What the form says, else what the table says of itself.

    Raises:
        FormError: neither does.
    """
    place = found.facts.place
    told = {
        "name": place.station,
        "latitude": place.latitude,
        "longitude": place.longitude,
        "datum": place.datum,
    }
    known = {key: item.value for key, item in told.items() if item is not None}
    known |= {key: value for key, value in more.items() if value is not None}
    known |= {key: value for key, value in said.values.items() if key in needed}
    missing = [key for key in needed if key not in known]
    if missing:
        raise FormError(
            PATH, tuple(Problem(key, texts.MISSING, texts.HINTS.get(key, "a name")) for key in missing)
        )
    return {key: known[key] for key in needed}
