"""What can go wrong with a log, each by its name; the text tells the user what to do."""

import sqlite3

from harmonics.errors import EbblightError, printable


class LogError(EbblightError):
    """The log can't be read or written."""


class LogBusyError(LogError):
    """Another program holds the log."""


class LogFullError(LogError):
    """The disk has no room for the change, which was not made."""


class LogReadOnlyError(LogError):
    """The log may not be written, or lies where nothing may be."""


class NotALogError(LogError):
    """The file is something else."""


class NoLogError(LogError):
    """There is no log at that place yet."""


class NewerLogError(LogError):
    """A later version of the program wrote the log."""


class DamagedLogError(LogError):
    """The file was a log, and parts of it can't be read any more."""


class NoTripError(LogError):
    """The log holds no trip of that number."""


_NAMED: dict[int, tuple[type[LogError], str]] = {
    sqlite3.SQLITE_BUSY: (LogBusyError, "another program is writing it; try again when it is done"),
    sqlite3.SQLITE_LOCKED: (LogBusyError, "another program is writing it; try again when it is done"),
    sqlite3.SQLITE_FULL: (LogFullError, "the disk is full; nothing was changed"),
    sqlite3.SQLITE_READONLY: (LogReadOnlyError, "it may not be written; nothing was changed"),
    sqlite3.SQLITE_PERM: (LogReadOnlyError, "it may not be written; nothing was changed"),
    sqlite3.SQLITE_NOTADB: (NotALogError, "it is not a log of trips"),
    sqlite3.SQLITE_CORRUPT: (DamagedLogError, "it is damaged; take an earlier copy of it"),
    sqlite3.SQLITE_CANTOPEN: (LogError, "it can't be opened; is it a file in a folder that is there?"),
    sqlite3.SQLITE_IOERR: (LogError, "the disk gives an error; nothing was changed"),
}


def log_error(path: str, error: sqlite3.Error) -> LogError:
    """The named error of one of SQLite's; its extended codes count as their kind."""
    code = getattr(error, "sqlite_errorcode", None)
    kind, told = _NAMED.get(-1 if code is None else code & 0xFF, (LogError, str(error)))
    return kind(printable(f"{path}: {told}"))
