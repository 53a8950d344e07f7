"""Results as text on a terminal and as a message."""
