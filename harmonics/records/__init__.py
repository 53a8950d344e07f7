"""Observed levels read, and how the real water departs from the tide."""
