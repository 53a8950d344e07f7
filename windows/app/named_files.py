"""Forms of the files of readings that a station file names, and the ways to them."""

from collections.abc import Mapping
from contextlib import suppress
from typing import Any
from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from harmonics.errors import EbblightError, FileProblemsError, OutputError
from windows.app.fields import Field, text_of
from windows.app.folder import Opened
from windows.app.named_reading import held, placed
from windows.app.named_saving import Problems, Sent, WrongFileError, fields_beside, saved, stopped, told
from windows.app.pages import Pages, sent, texts_of
from windows.app.refusals import Refusal, RefusedError
from windows.app.saving import ChangedMeanwhileError
from windows.render.page.around import Link, Site
from windows.render.page.forms import FieldView, Group, Option
from windows.render.page.site import address, screen
from windows.render.words import named_files as words
from windows.shoreline.named_files import Named, NamedFile, named_files

MOST_HELD = 64
"""Files whose sentences are remembered."""


async def named_file(request: Request) -> Response:
    """The form of one such file, with what it holds; and what comes of it when it is sent."""
    pages: Pages = request.app.state.pages
    item = _item(request)
    opened = await pages.opened(request)
    if not opened.document or item.table(opened.document) is None:
        raise RefusedError(Refusal.NOTHING)
    if request.method == "GET":
        site = pages.noticed(request, opened.name, "shore")
        async with pages.reading:
            return await run_in_threadpool(_show, pages, site, opened, item)
    form = await pages.posted(request)
    try:
        async with pages.reading:
            said = await _said(form.get("file"), texts_of(form))
            return await run_in_threadpool(_take, pages, opened, item, said)
    finally:
        await form.close()


async def _said(file: object, texts: Mapping[str, str]) -> Sent:
    """What a form says; browsers send a file without a name where none was chosen."""
    if not isinstance(file, UploadFile) or not file.filename:
        return Sent(texts, b"", "")
    return Sent(texts, await file.read(), file.filename)


def _item(request: Request) -> NamedFile:
    """Which file an address names."""
    what, place = request.path_params["what"], request.path_params.get("place")
    kind = next((kind for kind in Named if kind.value == what), None)
    if kind is None or kind.of_station is (place is None):
        raise RefusedError(Refusal.NOTHING)
    return NamedFile(kind, place)


def _address(name: str, item: NamedFile) -> str:
    """Of a file's form."""
    place = () if item.station is None else (str(item.station),)
    return address(name, "files", item.kind.value, *place)


def links_of(opened: Opened, station: int | None = None) -> tuple[Link, ...]:
    """Ways to the forms of all files that may be named, or of those of one station."""
    document = opened.document
    return tuple(
        Link(
            _address(opened.name, item),
            words.label(item.kind.value, _station(document, item), bool(item.keys(document))),
        )
        for item in named_files(document)
        if station is None or item.station == station
    )


def _station(document: Mapping[str, Any], item: NamedFile) -> str | None:
    """Name of its station; None for the file's weather."""
    if item.station is None:
        return None
    table = item.table(document) or {}
    return str(table.get("name") or table.get("id") or "")


def _show(pages: Pages, site: Site, opened: Opened, item: NamedFile) -> Response:
    """The form as the file is, with what it holds, or why that can't be told."""
    if not item.keys(opened.document) or opened.shore is None:
        return _form(site, opened, item)
    key = _key(opened, item)
    lines = pages.held.get(key, ())
    try:
        lines = lines or held(opened.shore, item, pages.clock())
    except EbblightError as error:
        return _form(site, opened, item, problems={"": told(error, opened)})
    _remember(pages, opened, item, lines)
    return _form(site, opened, item, lines)


def _key(opened: Opened, item: NamedFile) -> tuple[object, ...]:
    return opened.name, item, opened.state


def _remember(pages: Pages, opened: Opened, item: NamedFile, lines: tuple[str, ...]) -> None:
    """Keep what a file holds, but for recent readings, whose age changes."""
    if item.kind is Named.READINGS:
        return
    if len(pages.held) >= MOST_HELD:
        pages.held.clear()
    pages.held[_key(opened, item)] = lines


def _form(
    site: Site,
    opened: Opened,
    item: NamedFile,
    lines: tuple[str, ...] = (),
    problems: Problems | None = None,
    said: Sent | None = None,
) -> Response:
    """The form; as it was filled in where something was sent."""
    document, fields, wrong = opened.document, fields_beside(item), problems or {}
    keys = item.keys(document)
    values = {field.key: text_of(field.kind, keys.get(field.key)) for field in fields}
    values |= {} if said is None else said.texts
    kind, station = item.kind.value, _station(document, item)
    text = screen(
        "named_file.html",
        site,
        words.title(kind, station),
        use=words.USE[kind],
        reads=words.now_read(str(keys["file"])) if keys.get("file") else "",
        lines=lines,
        loose=wrong.get("", ()),
        beside=wrong.get("file", ()),
        again=words.AGAIN if said is not None and said.data else "",
        choose=words.CHOOSE_OTHER if keys else words.CHOOSE,
        groups=_groups(fields, values, wrong),
        revision=opened.revision,
        stop=words.STOP if keys else "",
        base=address(opened.name, "shore"),
    )
    return sent(text, 200 if said is None else 422)


def _groups(fields: tuple[Field, ...], values: Mapping[str, str], problems: Problems) -> tuple[Group, ...]:
    views = tuple(
        FieldView(
            field.key,
            words.LABELS[field.key],
            words.HINTS.get(field.key, ""),
            values.get(field.key, ""),
            "choice" if field.choices else "text",
            tuple(Option(choice, choice) for choice in field.choices),
            problems.get(field.key, ()),
        )
        for field in fields
    )
    said = bool(problems) or any(view.value for view in views)
    return (Group(words.UNSAID, views, said),) if views else ()


def _take(pages: Pages, opened: Opened, item: NamedFile, said: Sent) -> Response:
    """Do what the form asks for, or show it again with what is wrong."""
    kind, station = item.kind.value, _station(opened.document, item)
    stops = said.texts.get("deed") == "stop"
    lines: tuple[str, ...] = ()
    try:
        if said.texts.get("revision", "") != opened.revision:
            raise ChangedMeanwhileError
        if stops:
            back = stopped(pages.folder, opened, item)
        else:
            lines, back = saved(pages.folder, opened, item, said, pages.clock())
    except EbblightError as error:
        site = pages.site(opened.name, "shore")
        return _form(site, opened, item, problems=_problems(error, opened, item, said), said=said)
    _remember(pages, pages.folder.opened(opened.name), item, lines)
    sentence = words.no_more(kind, station) if stops else words.saved(kind, station, said.source)
    former = str(item.keys(opened.document).get("file") or "")
    left = opened.path.parent / former
    with suppress(OutputError):
        unused = left.name == former and left.is_file() and not pages.folder.speaks_of(former)
        sentence += f" {words.stays(former)}" if unused and former and (said.data or stops) else ""
    here = _address(opened.name, item)
    ticket = pages.undoings.tell(sentence, here, back, holds_file=True)
    return RedirectResponse(f"{here}?{urlencode({'done': ticket})}", 303)


def _problems(error: EbblightError, opened: Opened, item: NamedFile, said: Sent) -> Problems:
    """What is wrong, by field."""
    if isinstance(error, WrongFileError):
        return error.problems
    if isinstance(error, FileProblemsError):
        given = {field.key: said.texts.get(field.key, "") for field in fields_beside(item)}
        return placed(error.problems, item, given)
    return {"": told(error, opened)}
