"""Results as rows: data frames, CSV, JSON."""
