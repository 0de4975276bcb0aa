"""The command that shows a season's full screen in a browser of this computer."""

from __future__ import annotations

import argparse
import shlex
import sys
from pathlib import Path

from calendar_tui.commands.command_input import (
    data_now,
    emit,
    picked_season,
    refuse_extra_words,
    today_of,
)
from calendar_tui.commands.parsing import TODAY_FLAG
from calendar_tui.season.reading import zone_of
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.opening import open_to_show
from calendar_tui.storage.problems import SeasonFileError

LEAST_PORT, MOST_PORT = 1024, 65535
WARNING = (
    "Anyone who reaches this port can change the season, and no password is asked for. It is open to this computer",
    "alone, to all who have an account on it. Never forward it or open it to a network; over a network use SSH.",
)


def serve(args: argparse.Namespace) -> int:
    path, rest = picked_season(args)
    refuse_extra_words(rest)
    try:
        from calendar_tui.screens.browser.server import ADDRESS, OwnServer
    except ModuleNotFoundError as missing:
        raise Refusal(
            f"the browser needs {missing.name}, which is not installed; get it with: "
            "pip install -e '.[browser]' in the folder of the program"
        ) from None
    port = _port(args.port)
    if (opened := open_to_show(path)).season is None:
        raise SeasonFileError(opened.problems)
    emit([f"http://{ADDRESS}:{port} shows {path}; Ctrl+C ends it.", *WARNING])
    sys.stdout.flush()
    try:
        OwnServer(program(args, path), port, path.name).serve()
    except OSError as error:
        raise Refusal(f"port {port} cannot be opened: {error.strerror}; give another with --port") from None
    return 0


def program(args: argparse.Namespace, path: Path) -> str:
    """The full screen of the season, for a shell."""
    today = [TODAY_FLAG, str(today_of(args, zone_of(data_now(path))))] if args.today else []
    return shlex.join([sys.executable, "-m", "calendar_tui", str(path.absolute()), *today])


def _port(word: str) -> int:
    if word.isascii() and word.isdigit() and len(word) < 6 and LEAST_PORT <= int(word) <= MOST_PORT:
        return int(word)
    raise Refusal(f'--port "{word}" is no number from {LEAST_PORT} to {MOST_PORT}')
