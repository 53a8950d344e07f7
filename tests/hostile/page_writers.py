"""What the local pages write, each on a small folder of its own (see `writers`)."""

from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from harmonics.errors import EbblightError
from tests.cli.runs import NOW
from tests.hostile.writers import Writer, shore_in
from windows.app.deletes import deleted
from windows.app.folder import Folder
from windows.app.named_saving import Sent
from windows.app.named_saving import saved as readings_saved
from windows.app.refusals import RefusedError
from windows.app.saving import save_text
from windows.shoreline.named_files import Named, NamedFile


def saved(back: bool, lag: int, folder: Path) -> tuple[int, str]:
    """A change of the pages, taken back or not."""
    shelf = Folder(folder)
    try:
        opened = shelf.opened("shore.toml")
        text = (opened.text or "") + f'\n[[spots]]\nid = "new{lag}"\nname = "New {lag}"\n' + NEW_SPOT
        taken_back = save_text(shelf, opened, opened.revision, text, {f"{lag}.csv": "name,amplitude,phase\n"})
        if back:
            taken_back()
    except (EbblightError, RefusedError) as error:
        return 1, f"ebblight: shore.toml: {error}"
    return 0, ""


NEW_SPOT = 'latitude = 50.1\nlongitude = -5.2\nstation = "pier"\n'


def taken_out(back: bool, folder: Path) -> tuple[int, str]:
    """The shore's second spot taken out by the pages, and put back or not."""
    shelf = Folder(folder)
    try:
        opened = shelf.opened("shore.toml")
        _, restore = deleted(shelf, opened, "spots", 1)
        if back:
            restore()
    except (EbblightError, RefusedError) as error:
        return 1, f"ebblight: shore.toml: {error}"
    return 0, ""


def sent(back: bool, level: float, folder: Path) -> tuple[int, str]:
    """Recent readings sent to the pages in the place of others, taken back or not."""
    shelf, item = Folder(folder), NamedFile(Named.READINGS, 0)
    try:
        opened = shelf.opened("shore.toml")
        _, taken_back = readings_saved(shelf, opened, item, Sent({}, readings(level), "now.csv"), NOW)
        if back:
            taken_back()
    except (EbblightError, RefusedError) as error:
        return 1, f"ebblight: shore.toml: {error}"
    return 0, ""


def readings(level: float) -> bytes:
    stamp = datetime.fromtimestamp(NOW - 3600.0, UTC)
    return f"time_utc,level_m\n{stamp:%Y-%m-%dT%H:%M},{level}\n".encode()


def sent_before(folder: Path) -> None:
    assert sent(False, 2.0, folder) == (0, "")


def second_spot(folder: Path) -> None:
    path = shore_in(folder)
    path.write_text(f'{path.read_text()}\n[[spots]]\nid = "second"\nname = "Second"\n{NEW_SPOT}')


def of_pages() -> list[Writer]:
    """All that the local pages write of a file's own."""
    return [
        Writer("pages: save", partial(saved, False, 1), partial(saved, False, 2), "shore.toml"),
        Writer(
            "pages: save and undo",
            partial(saved, True, 1),
            partial(saved, False, 2),
            "shore.toml",
            middle=partial(saved, False, 1),
        ),
        Writer(
            "pages: delete", partial(taken_out, False), partial(saved, False, 2), "shore.toml", second_spot
        ),
        Writer(
            "pages: delete and undo",
            partial(taken_out, True),
            partial(saved, False, 2),
            "shore.toml",
            second_spot,
            middle=partial(taken_out, False),
        ),
        Writer(
            "pages: send",
            partial(sent, False, 2.1),
            partial(sent, False, 2.2),
            "shore.toml",
            sent_before,
            spare="pier-readings-",
        ),
        Writer(
            "pages: send and undo",
            partial(sent, True, 2.1),
            partial(saved, False, 2),
            "shore.toml",
            sent_before,
            middle=partial(sent, False, 2.1),
            spare="pier-readings-",
        ),
    ]
