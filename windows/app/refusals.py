"""Why a request is refused: its status and the sentence for it."""

from enum import Enum, unique
from http import HTTPStatus

from windows.render.words import pages


@unique
class Refusal(Enum):
    """Reasons, each with its status and its sentence."""

    HOST = (HTTPStatus.MISDIRECTED_REQUEST, pages.REFUSED_HOST)
    ORIGIN = (HTTPStatus.FORBIDDEN, pages.REFUSED_ORIGIN)
    TOKEN = (HTTPStatus.FORBIDDEN, pages.REFUSED_TOKEN)
    TOO_LARGE = (HTTPStatus.REQUEST_ENTITY_TOO_LARGE, pages.REFUSED_SIZE)
    ADDRESS = (HTTPStatus.REQUEST_URI_TOO_LONG, pages.REFUSED_ADDRESS)
    NOTHING = (HTTPStatus.NOT_FOUND, pages.NOTHING_THERE)
    METHOD = (HTTPStatus.METHOD_NOT_ALLOWED, pages.REFUSED_METHOD)
    FORM = (HTTPStatus.BAD_REQUEST, pages.REFUSED_FORM)
    GONE = (HTTPStatus.CONFLICT, pages.NOTHING_TO_UNDO)
    BUSY = (HTTPStatus.SERVICE_UNAVAILABLE, pages.BUSY)

    @property
    def status(self) -> HTTPStatus:
        """Of the answer."""
        return self.value[0]

    @property
    def sentence(self) -> str:
        """What is said."""
        return self.value[1]


class RefusedError(Exception):
    """A request that a page refuses."""

    def __init__(self, refusal: Refusal) -> None:
        self.refusal = refusal
        super().__init__(refusal.sentence)
