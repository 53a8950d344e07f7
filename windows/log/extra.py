"""The extra `log`: libraries that only the log's statistics need."""

from collections.abc import Iterator
from contextlib import contextmanager

from harmonics.errors import EbblightError


class MissingExtraError(EbblightError):
    """A library of the extra is not installed."""


@contextmanager
def extra_needed() -> Iterator[None]:
    """What goes on inside needs the extra.

    Raises:
        MissingExtraError: it is not installed; the message says how to.
    """
    try:
        yield
    except ModuleNotFoundError as error:
        told = f"this needs {error.name}, which is not installed: pip install 'ebblight[log]'"
        raise MissingExtraError(told) from None
