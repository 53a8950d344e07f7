"""Every sentence and number that people read."""
