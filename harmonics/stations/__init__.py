"""Station types, and the levels, currents and turns of any station."""
