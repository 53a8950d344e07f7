"""The shoreline as pages: what the file says and what is wrong in it, and a form for each of its tables."""

from collections.abc import Mapping
from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from harmonics.errors import EbblightError, FileProblemsError, Problem, printable
from windows.app import log_form
from windows.app.deletes import deleted
from windows.app.fields import keys_said
from windows.app.folder import Opened
from windows.app.named_files import links_of
from windows.app.pages import Pages, sent, texts_of
from windows.app.refusals import Refusal, RefusedError
from windows.app.saving import ChangedMeanwhileError, save_text
from windows.app.shore_views import shore_view
from windows.app.table_forms import (
    TableForm,
    fields_of_kind,
    is_kind,
    kind_of,
    name_of,
    path_of,
    table_at,
    values_of,
    views_of,
    where_of,
)
from windows.app.tables_in import station
from windows.render.page.around import Link
from windows.render.page.site import address, screen
from windows.render.words import file_forms as form_words
from windows.render.words import pages as words
from windows.shoreline.additions import added, changed
from windows.shoreline.file_schema import SINGLE
from windows.shoreline.ids import free_id, tables_of

WITH_IDS = frozenset({"spots", "banks", "landings"})
FROM_TABLES = frozenset({"stations", "currents"})
"""Lists whose new tables begin with a published table."""
LARGEST_PLACE = 100_000


async def shore(request: Request) -> Response:
    """What the file says, and every problem in it."""
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    view = await run_in_threadpool(shore_view, opened, pages.clock())
    site = pages.noticed(request, opened.name, "shore")
    return sent(screen("shore.html", site, view.title, view=view))


async def single(request: Request) -> Response:
    """The form of a table that stands once, or of the keys outside every table."""
    path = request.path_params["kind"]
    if path not in form_words.SINGLES:
        raise RefusedError(Refusal.NOTHING)
    return await _form(request, kind_of(path), None, new=False)


async def place(request: Request) -> Response:
    """The form of a table of a list, or of a new one."""
    path, number = request.path_params["kind"], request.path_params["place"]
    if not is_kind(path) or path in form_words.SINGLES:
        raise RefusedError(Refusal.NOTHING)
    if number == "new":
        return await (station(request) if path in FROM_TABLES else _form(request, path, None, new=True))
    if not number.isascii() or not number.isdigit() or len(number) > len(str(LARGEST_PLACE)):
        raise RefusedError(Refusal.NOTHING)
    return await _form(request, path, int(number), new=False)


async def _form(request: Request, kind: str, place: int | None, new: bool) -> Response:
    pages: Pages = request.app.state.pages
    opened = await pages.opened(request)
    table = {} if new else table_at(opened.document, kind, place)
    if table is None or not opened.document:
        raise RefusedError(Refusal.NOTHING)
    if request.method == "POST":
        form = await pages.posted(request)
        given = texts_of(form)
        return await run_in_threadpool(_take, pages, opened, kind, place, given, new)
    known = {field.key: request.query_params.get(field.key, "") for field in fields_of_kind(kind, table)}
    values = known if new else values_of(fields_of_kind(kind, table), table)
    site = pages.noticed(request, opened.name, "shore")
    problems = () if new else opened.problems
    made = _made(opened, kind, place, values, problems, new)
    files = _files(opened, kind, None if new else place)
    base = address(opened.name, "shore")
    return sent(screen("table.html", site, made.heading, form=made, base=base, files=files))


def _made(
    opened: Opened,
    kind: str,
    place: int | None,
    values: Mapping[str, str],
    problems: tuple[Problem, ...],
    new: bool,
    *,
    others: bool = False,
) -> TableForm:
    """The form with what is wrong in this table, and, where something was sent, in others."""
    table = {} if new else table_at(opened.document, kind, place) or {}
    place = len(tables_of(opened.document, kind)) if new else place
    groups, loose = views_of(
        opened.document, fields_of_kind(kind, table), values, problems, where_of(kind, place)
    )
    units = opened.shore.head.units if opened.shore is not None else None
    return TableForm(
        form_words.heading(path_of(kind), None if new else name_of(opened.document, kind, table)),
        groups,
        loose if others else (),
        opened.revision,
        form_words.units_words(units) if units is not None and kind != log_form.KIND else "",
        not new and kind != "" and bool(table),
    )


def _take(
    pages: Pages, opened: Opened, kind: str, place: int | None, given: Mapping[str, str], new: bool
) -> Response:
    """Write what the form says, or show it again with what is wrong."""
    revision = given.get("revision", "")
    table = {} if new else table_at(opened.document, kind, place) or {}
    fields = fields_of_kind(kind, table)
    try:
        if revision != opened.revision:
            raise ChangedMeanwhileError
        if given.get("deed") == "delete" and not new:
            sentence, back = deleted(pages.folder, opened, kind, place)
        else:
            keys = dict(keys_said(fields, given, table))
            if kind == log_form.KIND:
                log_form.refuse_path(opened.path.parent, keys)
            text, name = _edited(opened, kind, place, keys, new)
            back = save_text(pages.folder, opened, revision, text)
            sentence = words.saved(form_words.kind_words(path_of(kind)), name)
    except FileProblemsError as error:
        return _again(pages, opened, kind, place, given, error.problems, new)
    except EbblightError as error:
        return _again(pages, opened, kind, place, given, (Problem("", "", str(error)),), new)
    if kind == log_form.KIND:
        sentence = " ".join(filter(None, (sentence, _trips_stay(pages, opened))))
    here = address(opened.name, "shore")
    ticket = pages.undoings.tell(sentence, here, back)
    return RedirectResponse(f"{here}?{urlencode({'done': ticket})}", 303)


def _trips_stay(pages: Pages, opened: Opened) -> str:
    """That trips do not move with their place; empty where there are none, or it is the same."""
    place, count = log_form.trips_before(opened.shore)
    moved = log_form.trips_before(pages.folder.opened(opened.name).shore)[0] != place
    return form_words.trips_stay(count, str(place)) if moved else ""


def _edited(
    opened: Opened, kind: str, place: int | None, keys: dict[str, object], new: bool
) -> tuple[str, str]:
    """The file's new text, and what the table in it is called.

    Raises:
        FileProblemsError: it can't be.
    """
    text = opened.text or ""
    if not new and (kind not in SINGLE or kind in opened.document):
        table = table_at(opened.document, kind, place) or {}
        edit = changed(opened.name, text, kind, place, keys)
        return edit.text, name_of(opened.document, kind, {**table, **keys})
    if kind in WITH_IDS:
        keys = {
            "id": free_id(opened.document, kind, str(keys.get("name") or form_words.kind_words(kind))),
            **keys,
        }
    return added(opened.name, text, kind, keys).text, name_of(opened.document, kind, keys)


def _again(
    pages: Pages,
    opened: Opened,
    kind: str,
    place: int | None,
    given: Mapping[str, str],
    problems: tuple[Problem, ...],
    new: bool,
) -> Response:
    """The form as it was filled in, on the file as it is now."""
    site = pages.site(opened.name, "shore")
    made = _made(opened, kind, place, given, problems, new, others=True)
    told = tuple(printable(problem.expected) for problem in problems if not problem.found)
    files = _files(opened, kind, None if new else place)
    base = address(opened.name, "shore")
    text = screen("table.html", site, made.heading, form=made, told=told, base=base, files=files)
    return sent(text, 422)


def _files(opened: Opened, kind: str, place: int | None) -> tuple[Link, ...]:
    """Ways to the files that a station names, or may."""
    return links_of(opened, place) if kind == "stations" and place is not None else ()
