"""What is at a spot at a time: flow, light, moon, gates, score; local days."""
