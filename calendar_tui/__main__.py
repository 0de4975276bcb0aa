"""`python -m calendar_tui` is the command calendar-tui."""

import sys

from calendar_tui.cli import program

sys.exit(program())
