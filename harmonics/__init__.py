"""Water: constituents in; levels, currents and their turning points out."""
