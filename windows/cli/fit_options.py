"""Options of `fit`: what a record leaves unsaid, and how it is analysed."""

from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

import click

from harmonics.files.zones import zone_named
from windows.cli.input_options import unit_option
from windows.cli.options import group


class RecordOptions(NamedTuple):
    """What a record may leave unsaid.

    Attributes:
        units: "feet" or "metres".
        zone: of the record's clock.
        time_column, level_column: headers, where several would do.
    """

    units: str | None
    zone: ZoneInfo | None
    time_column: str | None
    level_column: str | None


class FitOptions(NamedTuple):
    """How a record is analysed, and what is kept of it.

    Attributes:
        constituents: names to fit; None for those that the record tells apart.
        trend: fit a straight line through the years as well.
        robust: give outliers less weight.
        infer: infer close neighbours that the record can't resolve.
        reference, reference_station: file and id of the station whose ratios serve the inference.
        trusted: keep the constituents clear of the noise alone.
        node_factors: "yearly" or "continuous".
    """

    constituents: list[str] | None
    trend: bool
    robust: bool
    infer: bool
    reference: Path | None
    reference_station: str | None
    trusted: bool
    node_factors: str


def _zone(ctx: click.Context, param: click.Parameter, value: str | None) -> ZoneInfo | None:
    """The zone of --zone, or a usage error."""
    if value is None:
        return None
    zone = zone_named(value)
    if zone is None:
        raise click.BadParameter(f"'{value}' is not an IANA time zone", ctx=ctx, param=param)
    return zone


def _names(ctx: click.Context, param: click.Parameter, value: str | None) -> list[str] | None:
    """The names of --constituents."""
    return None if value is None else [name.strip() for name in value.split(",")]


record_options = group(
    "said",
    RecordOptions,
    unit_option,
    click.option(
        "--zone", callback=_zone, help="IANA time zone of the clock, where neither stamps nor header say."
    ),
    click.option("--time-column", help="Header of the times, where several would do."),
    click.option("--level-column", help="Header of the levels, where several would do."),
)
fit_options = group(
    "wanted",
    FitOptions,
    click.option(
        "--constituents",
        callback=_names,
        help="Names to fit, as M2,S2,K1.  [default: those the record tells apart]",
    ),
    click.option("--trend/--no-trend", default=False, help="Fit a straight line through the years as well."),
    click.option("--robust/--plain", default=True, help="Weigh outliers down, or not."),
    click.option("--infer/--no-infer", default=True, help="Infer close neighbours the record can't resolve."),
    click.option(
        "--reference",
        type=click.Path(path_type=Path),
        help="Station file whose ratios serve the inference instead of those of the equilibrium tide.",
    ),
    click.option("--reference-station", help="Which station of it."),
    click.option(
        "--trusted/--all-lines",
        default=True,
        help="Write those clear of the noise, or all.  [default: trusted]",
    ),
    click.option(
        "--node-factors",
        type=click.Choice(["yearly", "continuous"]),
        default="yearly",
        show_default=True,
        help="Practice the constants will be predicted with.",
    ),
)
