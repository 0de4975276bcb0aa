"""One row of the table of keys, and the rows that several views have alike."""

from __future__ import annotations

from typing import NamedTuple


class Key(NamedTuple):
    """A key or several that do the same.

    names: Textual's, comma separated. action: of the method action_NAME, with its arguments; "" where Textual, the field
    that is typed in, the list or the mouse does it. shown: as people write it; where these are several, with a blank
    between, a footer shows the first. foot: its word in a footer, "" where it stands in none; a name in braces is filled
    in by the view. text: a sentence for help and palette, "" where the row above tells it too. edits: whether it changes
    the season, and is refused where that is shown read-only.
    """

    names: str
    action: str
    shown: str
    foot: str
    text: str
    edits: bool = False


def id_of(group: str, key: Key) -> str:
    """The id of a key's binding, which tells it from those of other views that do the same."""
    return f"{group}.{key.names}"


def up_and_down(foot: str) -> tuple[Key, Key]:
    """The keys of what scrolls or has a cursor: it has them bound itself."""
    return Key("up", "", "Up", foot, ""), Key("down", "", "Down", foot, "")


# The keys of a list whose view moves the cursor: by a row, by a page.
STEPS = Key("up", "step(-1)", "Up", "", ""), Key("down", "step(1)", "Down", "", "")
PAGES = Key("pageup", "page(-1)", "PgUp", "", ""), Key("pagedown", "page(1)", "PgDn", "", "")
