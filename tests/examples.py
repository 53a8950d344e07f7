"""How many examples a property is tried with where it has a number of its own."""

from hypothesis import settings

MANY = 1000
"""Of the profile of that name."""


def examples(count: int) -> settings:
    """So many in a plain run; in the long one as many as every other property."""
    usual = settings.default.max_examples
    return settings(max_examples=usual if usual >= MANY else count)
