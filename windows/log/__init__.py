"""The log: trips kept, honest statistics of them, and what they teach."""
