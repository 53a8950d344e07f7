"""A sheet as wide as a phone as a PNG, drawn from its SVG, with a font that comes along.

Needs the optional extra `picture`: resvg-py draws, font-source-sans-pro holds the letters. Letters that font
lacks (Hebrew, Arabic) come from the fonts of the machine, where it has them. Emoji are left out: where a font
has them its colours would differ from machine to machine, where none has they are empty boxes.
"""

import re
from collections.abc import Sequence
from importlib.resources import as_file, files

from harmonics.errors import EbblightError
from windows.forecast.reports import DayReport, Forecast
from windows.render.chart.parts import WIDTH
from windows.render.chart.phone import svg_phone
from windows.render.words.safe_text import without_pictographs

PIXELS_PER_COLUMN = 1080
"""Three to a unit: the width of a phone held upright."""
MOST_PIXELS = 16000
"""Taller pictures than this are refused by many viewers."""
MOST_DAYS = 31
"""Days are drawn one below the other; more than a month would shrink below reading."""
_TEXT = re.compile(r">([^<>]+)<")
NAMELESS = "(no name)"
FONT = "Source Sans Pro"
FACES = ("SourceSansPro-Regular.ttf", "SourceSansPro-Semibold.ttf")


def png(forecast: Forecast, days: Sequence[DayReport] | None = None) -> bytes:
    """A picture of all days, or of some, for a phone: three pixels to a unit unless that grows too tall.

    Raises:
        EbblightError: the extra `picture` is not installed, or the days are too many to be read.
    """
    drawn = forecast.days if days is None else len(days)
    if drawn > MOST_DAYS:
        raise EbblightError(f"a picture of {drawn} days can't be read: take at most {MOST_DAYS}")
    return png_of(svg_phone(forecast, days))


def png_of(svg: str) -> bytes:
    """A picture of a standalone SVG.

    Raises:
        EbblightError: the extra `picture` is not installed.
    """
    try:
        import resvg_py

        faces = files("font_source_sans_pro") / "files"
    except ModuleNotFoundError as error:
        raise EbblightError(
            f"a picture needs {error.name}, which is not installed: pip install 'ebblight[picture]'"
        ) from None
    svg = _TEXT.sub(_drawable, svg)
    width, height = (float(part) for part in svg.split('viewBox="0 0 ', 1)[1].split('"', 1)[0].split())
    scale = min(PIXELS_PER_COLUMN / WIDTH, MOST_PIXELS / height)
    with as_file(faces) as folder:
        return bytes(
            resvg_py.svg_to_bytes(
                svg_string=svg,
                width=int(width * scale),
                font_files=[str(folder / face) for face in FACES],
                font_family=FONT,
                sans_serif_family=FONT,
            )
        )


def _drawable(text: re.Match[str]) -> str:
    """One text of the SVG without what no font draws."""
    kept = without_pictographs(text[1])
    if kept == text[1]:
        return text[0]
    return f">{' '.join(kept.split()) or NAMELESS}<"
