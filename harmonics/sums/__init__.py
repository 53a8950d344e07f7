"""Harmonic constants and their sums: waves and even steps, search, extremes."""
