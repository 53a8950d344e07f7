"""Constituents: the catalogue, compounds, equilibrium, node factors, astronomical arguments."""
