"""Charts as SVG, and pictures made of them."""
