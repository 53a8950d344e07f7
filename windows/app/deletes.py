"""A table taken out of a station file, and put back where it was."""

from collections.abc import Callable

from harmonics.files.parts import alone_in
from harmonics.files.text_files import read_marked_text
from windows.app.folder import Folder, Opened
from windows.app.saving import ChangedMeanwhileError, save_text
from windows.app.table_forms import name_of, path_of, table_at
from windows.render.files import write_whole
from windows.render.words import file_forms as form_words
from windows.render.words import pages as words
from windows.shoreline.additions import put_back, removed
from windows.shoreline.trials import tried


def deleted(folder: Folder, opened: Opened, kind: str, place: int | None) -> tuple[str, Callable[[], str]]:
    """Take it out; the sentence that tells so, and the way back.

    The way back restores the file's bytes; where it was changed meanwhile, it puts the table in again.

    Raises:
        EbblightError: as for `saving.save_text`; other tables may need it.
    """
    table = table_at(opened.document, kind, place) or {}
    edit = removed(opened.name, opened.text or "", kind, place)
    restore = save_text(folder, opened, opened.revision, edit.text)

    def back() -> str:
        try:
            return restore()
        except ChangedMeanwhileError:
            with folder.writing, alone_in(opened.path.parent):
                text = read_marked_text(opened.path, "a station file")
                again = put_back(opened.name, text, edit).text
                tried(opened.path, again)
                write_whole(opened.path, again.encode())
            return words.UNDONE

    return words.deleted(form_words.kind_words(path_of(kind)), name_of(opened.document, kind, table)), back
