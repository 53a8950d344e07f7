"""Renderers: a finished forecast in, text out."""
