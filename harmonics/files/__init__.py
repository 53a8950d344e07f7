"""Text, tables and station files: read and checked."""
