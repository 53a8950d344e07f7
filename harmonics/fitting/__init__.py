"""Constituents from observed levels, and how far to trust them."""
