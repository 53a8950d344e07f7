"""Windows, sessions, ranks, days, reports."""
