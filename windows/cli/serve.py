"""`serve`: the local pages."""

import sys
from pathlib import Path

import click

from windows.cli.options import now_of

LARGEST_PORT = 65535


@click.command()
@click.argument("file", type=click.Path(path_type=Path), default=".")
@click.option(
    "--port", type=click.IntRange(1, LARGEST_PORT), help="Port to answer on.  [default: a free one]"
)
@click.option("--browser/--no-browser", default=True, help="Open the pages in the browser.")
@click.pass_context
def serve(ctx: click.Context, file: Path, port: int | None, browser: bool) -> None:
    """The whole tool as pages in the browser, for this machine alone.

    FILE is a station file, or a folder of them; an empty one will do to begin with. The pages end with their
    terminal, or with Ctrl-C.
    """
    from harmonics.errors import EbblightError
    from windows.render.words import pages as words

    try:
        from windows.app.serving import listening
        from windows.app.serving import serve as answer
        from windows.app.site import folder_of
    except ModuleNotFoundError as error:
        if error.name is not None and error.name.partition(".")[0] in {"windows", "harmonics"}:
            raise
        raise EbblightError(words.EXTRA_NEEDED) from None

    if not file.exists():
        raise EbblightError(words.no_place(str(file)))
    place = listening(port)
    address = f"http://127.0.0.1:{place.getsockname()[1]}/"
    click.echo(words.started(address, str(file)))
    sys.stdout.flush()
    if browser and sys.stdout.isatty():
        _open(address)
    answer(folder_of(file), lambda: now_of(ctx), place)


def _open(address: str) -> None:
    """Open the browser of the desktop; one of the terminal would take the place of the server."""
    import webbrowser

    try:
        found = webbrowser.get()
    except webbrowser.Error:
        return
    if not isinstance(found, webbrowser.GenericBrowser) or isinstance(found, webbrowser.BackgroundBrowser):
        found.open(address)
