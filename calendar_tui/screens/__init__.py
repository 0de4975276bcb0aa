"""The full screen: it draws what planning gives, asks, and hands edits down. It decides nothing."""

import os

# Textual reads these once, when it is first imported; over a slow line motion and frames are only bytes.
os.environ.setdefault("TEXTUAL_ANIMATIONS", "none")
os.environ.setdefault("TEXTUAL_FPS", "20")
os.environ.setdefault("TEXTUAL_SMOOTH_SCROLL", "0")
# The terminal's own 16 colours.
os.environ.setdefault("TEXTUAL_THEME", "ansi-dark")
