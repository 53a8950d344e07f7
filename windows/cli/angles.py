"""Latitudes and longitudes as options and answers take them."""

from typing import Any

import click


class Angle(click.ParamType[float]):
    """Degrees, or degrees and minutes with a side."""

    name = "degrees"

    def __init__(self, key: str) -> None:
        """Of `latitude` or `longitude`."""
        self.key = key

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The angle in degrees, north and east positive."""
        from harmonics.files.angles import EXAMPLES, typed_angle

        found = typed_angle(self.key, str(value))
        if found is None:
            self.fail(f"found '{value}'; expected a {self.key} such as {EXAMPLES[self.key]}", param, ctx)
        return found


LATITUDE, LONGITUDE = Angle("latitude"), Angle("longitude")
