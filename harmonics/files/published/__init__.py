"""A published table taken apart: lines, header, cells, what its words say, and the constants it holds."""
