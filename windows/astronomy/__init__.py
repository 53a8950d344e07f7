"""Sun and moon events for many spots at once."""
