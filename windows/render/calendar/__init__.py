"""Results as calendar entries."""
