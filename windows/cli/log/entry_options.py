"""The options that tell a trip, as one value."""

import click

from windows.cli.options import Decorator, group
from windows.log.told import Told

_TIME = 'a time of the trip, "18:20"'
told_options: Decorator = group(
    "told",
    Told,
    click.option("--spot", help="Id of a spot of the file."),
    click.option("--start", metavar="WHEN", help='"2026-08-15 17:30", or "17:30" for the last there was.'),
    click.option("--end", metavar="WHEN", help='As --start; "20:10" is the first after it.'),
    click.option("--anglers", type=int, help="How many fished.  [default: 1]"),
    click.option(
        "--fished", "fished_for", metavar="LENGTH", help='Lines in the water, "1h30min".  [default: all]'
    ),
    click.option(
        "--kept", multiple=True, metavar="FISH", help='"flounder 38 41.5", "flounder 38@18:40", "bass x2".'
    ),
    click.option("--released", multiple=True, metavar="FISH", help="As --kept."),
    click.option(
        "--sought", multiple=True, metavar="SPECIES", help="A species you were after and did not catch."
    ),
    click.option("--nothing", is_flag=True, help="No fish at all: zeros are what honest counts rest on."),
    click.option("--measured", type=click.Choice(["fork", "total"]), help="How all lengths were taken."),
    click.option("--quarry", help="The fish you were after."),
    click.option("--bait", help="What was on the hook."),
    click.option(
        "--turned-out", multiple=True, metavar="WHEN", help=f"The current began to go out: {_TIME}."
    ),
    click.option(
        "--turned-in", multiple=True, metavar="WHEN", help=f"The current began to come in: {_TIME}."
    ),
    click.option("--drift", multiple=True, metavar="SPEED", help='Knots over the ground, "0.8@18:20".'),
    click.option("--bared", multiple=True, metavar="WHEN", help=f"The bait bank bared: {_TIME}."),
    click.option("--covered", multiple=True, metavar="WHEN", help=f"The bait bank was covered: {_TIME}."),
    click.option("--lead", metavar="WEIGHT", help='Lead that held bottom, "6oz" or "170g".'),
    click.option("--temperature", metavar="DEGREES", help='Of the water, "18C" or "64F".'),
    click.option("--wind", help='"12kn SW", "5m/s 225" or "calm".'),
    click.option("--clarity", type=click.Choice(["clear", "cloudy", "muddy"]), help="Of the water."),
    click.option("--words", help="Whatever else is worth keeping, on one line."),
)
