"""What the page of plans can be asked for in the place of the file's wishes of a day out."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from windows.app.fields import fields_of
from windows.render.page.around import Typed
from windows.render.page.forms import Option
from windows.render.words import file_forms, pages
from windows.render.words.safe_text import plain
from windows.shoreline.outing_file import WISHES
from windows.shoreline.outing_models import OutingTable

if TYPE_CHECKING:
    from windows.shoreline.outings import Outing
    from windows.shoreline.shore import Shore


class Wishes(NamedTuple):
    """What is asked of a day out, as typed; None for the file's own.

    Attributes:
        landing: id of the one to start from.
        leave_after, home_by: when one can be out.
        longest, margin: lengths.
    """

    landing: str | None = None
    leave_after: str | None = None
    home_by: str | None = None
    longest: str | None = None
    margin: str | None = None

    @property
    def said(self) -> dict[str, str]:
        """Those that are asked for, by key."""
        return {key: text for key, text in self._asdict().items() if text is not None}


def read_wishes(query: Mapping[str, str], shore: "Shore", problems: list[str]) -> Wishes:
    """What the query asks of a day out; a value that can't be read is told and passed over."""
    landing = query.get("landing", "").strip() or None
    if landing is not None and all(item.id != landing for item in shore.landings):
        problems.append(pages.no_such_landing(landing))
        landing = None
    typed: dict[str, str] = {}
    for key, parse in WISHES.items():
        text = query.get(key, "").strip()
        try:
            if text:
                parse(text)
                typed[key] = text
        except ValueError as error:
            problems.append(pages.unreadable(file_forms.label_of(key), text, str(error)))
    return Wishes(landing, **typed)


def outing_of(shore: "Shore", wishes: Wishes) -> "Outing":
    """The file's wishes with those asked for in their place."""
    said = wishes.said
    changes: dict[str, Any] = {key: parse(said[key]) for key, parse in WISHES.items() if key in said}
    if wishes.landing is not None:
        changes["start"] = wishes.landing
    return shore.outing._replace(**changes)


def landings_of(shore: "Shore") -> tuple[Option, ...]:
    """The landings to start from; empty where there is no choice."""
    return tuple(Option(item.id, plain(item.name)) for item in shore.landings) if shore.landings[1:] else ()


def typed_of(wishes: Wishes) -> tuple[Typed, ...]:
    """The fields of a form, with what is asked for in them."""
    said, expected = wishes.said, {field.key: field.expected for field in fields_of(OutingTable)}
    return tuple(
        Typed(key, file_forms.label_of(key), file_forms.hint_of(expected[key]), said.get(key, ""))
        for key in WISHES
    )


def words_of_wishes(shore: "Shore", wishes: Wishes) -> tuple[str, ...]:
    """What is asked for, a part each."""
    said = {key: plain(text) for key, text in wishes.said.items()}
    if wishes.landing is not None:
        said["landing"] = plain(shore.landing(wishes.landing).name)
    return pages.wished(said)
