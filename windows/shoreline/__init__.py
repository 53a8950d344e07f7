"""Everything a file says of a shore: spots, banks, preferences; read and checked."""
