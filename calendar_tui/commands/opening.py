"""The full screen: which season it opens, and on which day."""

from __future__ import annotations

import argparse
import os
import sys
from datetime import date
from pathlib import Path

from calendar_tui.commands.asked import (
    TODAY,
    Refusal,
    known_zone,
    no_more,
    now,
    today_of,
    who,
)
from calendar_tui.storage.finding import pick_season


def full_screen(args: argparse.Namespace) -> int:
    from calendar_tui.commands.examples import choose

    path, notice, example_today = None, "", None
    if args.words:
        path, rest = pick_season(args.words, Path.cwd())
        no_more(rest)
        if not path.exists() and path.suffix != ".toml":
            raise Refusal(f'"{path}" is neither a season file nor a command; see --help')
    else:
        path, notice, example_today = choose(Path.cwd(), input if sys.stdin.isatty() else None)
    return _show(args, path, notice, example_today)


def _show(args: argparse.Namespace, path: Path, notice: str, example_today: date | None) -> int:
    from calendar_tui.storage.season_file import load

    site = load(path).data.get("site")
    zone = site.get("timezone") if isinstance(site, dict) else None
    today = today_of(args, "UTC") if not known_zone(zone) else today_of(args, str(zone))
    if example_today is not None and not (args.today or os.environ.get(TODAY)):
        today = example_today
    from calendar_tui.screens.app import run

    ascii_only = args.ascii or "utf" not in (sys.stdout.encoding or "").lower()
    return run(path, today, who(), now, notice, ascii_only)
