"""The full screen in a browser, for this computer alone."""
