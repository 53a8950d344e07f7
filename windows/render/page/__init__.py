"""Results as one page."""
