"""`datums`: tidal datums and ranges of a station."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from harmonics.units import DATUM_NAMES
from windows.cli.answer import answer
from windows.cli.listings import Listing, chosen_station
from windows.cli.options import Choice, file_argument, now_of, place_options, target_options
from windows.cli.output import Target, screen_width
from windows.render.formats import ResultKind

if TYPE_CHECKING:
    from harmonics.stations.types import Station
    from windows.render.records.results import PlaceResult
    from windows.shoreline.shore import Shore


@dataclass(frozen=True)
class DatumsJob(Listing["Station"]):
    """Datums asked for.

    Attributes:
        first_year: of the 19.
        above: name of the datum that heights are counted from; None for the station's own.
    """

    first_year: int
    above: str | None

    def only(self, shore: "Shore") -> "Station":
        """The station asked for, or the file's only one.

        Raises:
            EbblightError: it is a secondary station.
        """
        from harmonics.errors import EbblightError
        from harmonics.stations.types import Station

        place = chosen_station(shore, self.choice)
        if not isinstance(place, Station):
            raise EbblightError(
                f"{shore.path}: station '{place.id}' follows '{place.reference.id}'; "
                "datums need constituents of its own"
            )
        return place

    def every(self, shore: "Shore") -> "Sequence[Station]":
        """The stations with constituents of their own."""
        from harmonics.stations.types import Station

        return [item for item in shore.stations if isinstance(item, Station)]

    def part(self, shore: "Shore", place: "Station") -> "PlaceResult":
        """Datums of a station."""
        import math

        from harmonics.errors import EbblightError
        from harmonics.stations.datums import EPOCH_YEARS, datums, tide_character
        from windows.render.records.results import PlaceResult
        from windows.render.text import analysis

        found = datums(place, self.first_year)
        zero = 0.0 if self.above is None else found.named(self.above)
        if math.isnan(zero):
            raise EbblightError(
                f"{shore.path}: station '{place.id}' has no high and low waters, so no {self.above}"
            )
        if self.above is not None:
            found = found._replace(**{key: found.named(key) - zero for key in DATUM_NAMES})
        name = place.datum if self.above is None else self.above.upper()
        epoch = f"{self.first_year} to {self.first_year + EPOCH_YEARS - 1}"
        character = tide_character(place.constants)

        def text() -> str:
            moved = None if self.above is None else (zero, found.msl)
            head = datums_head(shore, place, name, moved, self.width)
            return analysis.datums_text(head, found, character, epoch, shore.head.units, self.width)

        return PlaceResult(
            text,
            lambda: analysis.datums_frame(place.id, found),
            {
                "station": place.id,
                "name": place.name,
                "datum": name,
                **analysis.datums_header(found, character, epoch),
            },
        )


def datums_head(
    shore: "Shore", place: "Station", datum: str, moved: tuple[float, float] | None, width: int
) -> str:
    """Title, place, unit and datum; what the file needs where heights are counted from another datum.

    Args:
        shore, place: whose datums they are.
        datum: what heights are counted from.
        moved: the datum above the station's own, and mean sea level above the datum, metres.
        width: columns.
    """
    from windows.render.text.layout import paragraph
    from windows.render.words.cautions import INVENTED
    from windows.render.words.datums import change_of_datum

    unit = shore.head.units
    lines = [INVENTED] if shore.head.invented else []
    lines.append(paragraph(f"{shore.head.title}, {place.name}; heights in {unit.value} above {datum}", width))
    if moved is not None:
        lines += [paragraph(text, width) for text in change_of_datum(place.datum, datum, *moved)]
    return "\n".join(lines)


@click.command()
@file_argument
@place_options("Id of a station of the file.", None)
@click.option(
    "--first-year", type=click.IntRange(1000, 2900), default=1983, show_default=True, help="Of 19 years."
)
@click.option(
    "--above",
    type=click.Choice(DATUM_NAMES, case_sensitive=False),
    help="Count heights from this datum, and say the mean_level that puts the station's file on it.",
)
@target_options(ResultKind.LISTING)
@click.pass_context
def datums(
    ctx: click.Context,
    file: Path,
    choice: Choice,
    first_year: int,
    above: str | None,
    target: Target,
) -> None:
    """Tidal datums over 19 years of prediction, ranges, kind and age of the tide.

    FILE may be a folder of station files: each gets a result in the folder of -o, with all its stations that
    have constituents of their own.
    """
    job = DatumsJob(now_of(ctx), screen_width(), target.form, choice, first_year, above)
    answer(job, file, target)
