"""A first file from a published table and a few answers."""

from collections.abc import Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from harmonics.errors import EbblightError, FileProblemsError, OutputError, Problem
from harmonics.files.parts import alone_in, holds
from harmonics.files.published.results import ImportedTable
from windows.app.pages import Pages, sent, texts_of
from windows.app.table_reading import PASTED, PATH, Answered, FormError, answered, read_table
from windows.app.tables_in import placed
from windows.render.files import take_away, write_together
from windows.render.page.around import Site
from windows.render.page.site import address, screen
from windows.render.words import pages as words
from windows.render.words import table_forms as texts
from windows.render.words.imported import sentences
from windows.shoreline.first_file import Answers, first_texts, lacking, with_defaults, with_table
from windows.shoreline.trials import tried


async def new(request: Request) -> Response:
    """The form of a first file, and what comes of it."""
    pages: Pages = request.app.state.pages
    if request.method == "GET":
        return _shown(pages.noticed(request, None, "files"), {}, ())
    form = await pages.posted(request)
    given = texts_of(form)
    try:
        said = await answered(form)
        given = dict(said.texts)
        return await run_in_threadpool(_take, pages, said)
    except FileProblemsError as error:
        return _shown(pages.site(None, "files"), given, error.problems)
    except EbblightError as error:
        return _shown(pages.site(None, "files"), given, (Problem("", "", str(error)),))


def _shown(site: Site, values: Mapping[str, str], problems: tuple[Problem, ...]) -> Response:
    groups, loose = placed(texts.NEW_GROUPS, values, problems)
    text = screen(
        "from_table.html",
        site,
        texts.NEW_HEAD,
        groups=groups,
        problems=loose,
        revision="",
        action="/new",
        button=words.BEGIN,
    )
    return sent(text, 422 if problems else 200)


def _take(pages: Pages, said: Answered) -> Response:
    found = read_table(said)
    if not isinstance(found, ImportedTable):
        raise FormError(PATH, (Problem(PASTED, texts.NOT_A_TIDE, texts.TABLE_EXPECTED),))
    answers = _answers(said, found)
    made = first_texts(answers, found, (f"from {said.source}", *sentences(found)))
    path = pages.folder.root / made.name
    with pages.folder.writing, alone_in(path.parent):
        if path.exists():
            raise OutputError(words.table_there(made.name))
        tried(path, made.text, made.beside)
        beside = {path.parent / name: rows.encode() for name, rows in made.beside.items()}
        write_together({**beside, path: made.text.encode()}, new=(*beside, path))
    sentence = " ".join((words.begun(made.name), *sentences(found)))
    where = address(made.name, "shore")
    # Once it is taken back there is no shore to tell so on.
    ticket = pages.undoings.tell(sentence, "/files", lambda: _taken_back(path, made.text, tuple(beside)))
    return RedirectResponse(f"{where}?{urlencode({'done': ticket})}", 303)


def _answers(said: Answered, found: ImportedTable) -> Answers:
    """All answers, those of the table and those that follow from the others with them.

    Raises:
        FormError: some are lacking.
    """
    known: dict[str, Any] = {
        item.name: said.values[item.name] for item in fields(Answers) if item.name in said.values
    }
    answers = with_defaults(with_table(replace(Answers(), **known), found), found)
    missing = lacking(answers)
    if missing:
        expected = {**texts.HINTS, "time_zone": texts.ZONE_EXPECTED}
        raise FormError(
            PATH, tuple(Problem(key, texts.MISSING, expected.get(key, "a name")) for key in missing)
        )
    return answers


def _taken_back(path: Path, text: str, beside: tuple[Path, ...]) -> str:
    """Take a new file away again.

    Raises:
        EbblightError: it was changed meanwhile.
    """
    if not holds(path, text.encode()):
        raise EbblightError(words.CHANGED_SINCE)
    take_away((path, *beside))
    return words.UNDONE
