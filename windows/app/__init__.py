"""The local pages: the whole tool in a browser, served to this machine alone."""
