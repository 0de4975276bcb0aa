"""In which units and by which clock a command shows a season: as one has set for oneself, else as the season has."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from calendar_tui.season.edits import Data


def take_up_units(args: argparse.Namespace, data: Data) -> None:
    """Show quantities and times as one has set for oneself, else as the season has; JSON and CSV are as files have them."""
    from calendar_tui.season.units_in_use import CLOCKS, SYSTEMS, show_in
    from calendar_tui.storage.own.settings_file import read_own, settings_file

    if args.json or getattr(args, "csv", False):
        return
    own, season = read_own(settings_file()).settings, data.get("season", {})
    of_season = season if isinstance(season, dict) else {}
    wanted = [(own.units, "units", SYSTEMS), (own.clock, "clock", CLOCKS)]
    show_in(
        *(mine or next((c for c in there if c == str(of_season.get(key))), "") for mine, key, there in wanted)
    )
