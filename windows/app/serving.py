"""The server: on this machine's own address, until its terminal ends it."""

import logging
import socket
from collections.abc import Callable

import uvicorn

from harmonics.errors import EbblightError
from windows.app.connections import BoundedProtocol
from windows.app.folder import Folder
from windows.app.site import site_of
from windows.render.words import pages as words

HOST = "127.0.0.1"
FIRST_PORT = 8617
"""Of no service that is registered for it; where it is taken, the next that is free."""
PORTS = 20
WAITING = 256
"""Connections that the system keeps until they are taken; those beyond are refused by it."""
LAST_SECONDS = 2
"""For answers that are under way when the pages end."""


def listening(port: int | None) -> socket.socket:
    """A socket on this machine's own address.

    Args:
        port: the one wanted; None for the first that is free.

    Raises:
        EbblightError: it is taken.
    """
    wanted = range(FIRST_PORT, FIRST_PORT + PORTS) if port is None else (port,)
    for number in wanted:
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((HOST, number))
            found.listen(WAITING)
        except OSError:
            found.close()
            continue
        return found
    raise EbblightError(words.taken_port(port if port is not None else FIRST_PORT))


def serve(folder: Folder, clock: Callable[[], float], place: socket.socket) -> None:
    """Answer until a signal ends it.

    Args:
        folder: whose station files are shown.
        clock: of people, POSIX seconds.
        place: a listening socket.
    """
    # What the reader of sent forms has to say is not for people.
    logging.getLogger("python_multipart").addHandler(logging.NullHandler())
    app = site_of(folder, clock, place.getsockname()[1])
    config = uvicorn.Config(
        app,
        http=BoundedProtocol,
        ws="none",
        loop="asyncio",
        lifespan="off",
        log_level="warning",
        access_log=False,
        server_header=False,
        date_header=False,
        backlog=WAITING,
        timeout_graceful_shutdown=LAST_SECONDS,
    )
    try:
        uvicorn.Server(config).run(sockets=[place])
    except KeyboardInterrupt:
        pass
    finally:
        app.state.pages.work.close()
