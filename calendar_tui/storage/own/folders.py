"""The folders of a person's own files."""

from __future__ import annotations

import os
import sys
from pathlib import Path

# By what they hold: the variable that names the folder, where it is else (XDG Base Directory Specification 0.8), and what
# platformdirs calls it.
CONFIG = ("XDG_CONFIG_HOME", "~/.config", "user_config_dir")
STATE = ("XDG_STATE_HOME", "~/.local/state", "user_state_dir")
_OURS = "calendar-tui"


def own_folder(kind: tuple[str, str, str]) -> Path:
    """The folder, which may not be there, of CONFIG or STATE.

    On Linux the specification is three lines, and `week` reads the settings at every login: platformdirs, which loads
    shutil and tempfile, is asked elsewhere, and where no folder follows from them.
    """
    variable, otherwise, asked = kind
    given = os.environ.get(variable, "")
    folder = given if os.path.isabs(given) else os.path.expanduser(otherwise)
    if sys.platform == "linux" and "ANDROID_ROOT" not in os.environ and os.path.isabs(folder):
        return Path(folder, _OURS)
    import platformdirs

    return Path(getattr(platformdirs, asked)(_OURS, appauthor=False))


def make_folder(folder: Path) -> None:
    """Make a folder that only the person can enter, and those above it, where it is not there. Raises SeasonFileError."""
    from calendar_tui.storage.disk.whole_file import reason, refused

    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise refused(folder, f"cannot be made: {reason(error)}") from error
