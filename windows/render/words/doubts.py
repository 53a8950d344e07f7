"""What a forecast says of a file that reads well and yet can't be so."""

from harmonics.errors import printable
from windows.shoreline.whole import Shore


def doubts(shore: Shore) -> tuple[str, ...]:
    """A sentence each; none of a file that can be."""
    head = f"This can't be so, and `ebblight check` refuses it: {printable(shore.path.name)}"
    return tuple(f"{head}: {item}." for item in shore.doubts)
