"""Fishing windows: water and sky combined into a scored, explained plan."""
