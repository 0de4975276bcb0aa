"""What was done, as the full screen tells it right after."""

from __future__ import annotations

from calendar_tui.language.speaking import phrase
from calendar_tui.season.edits import Change

# What the changes of tasks begin with, which say by themselves what was done; others are led by "Saved:".
DEEDS = frozenset({"found", "moved", "noted", "opened", "skipped", "ticked", "took"})


def done_text(change: Change) -> str:
    """A sentence: "Ticked Transplant by hand (A3) on 8 Dec." The ids of tasks are left to the history."""
    what = change.what
    for task in dict.fromkeys(edit.ident[0] for edit in change.edits if edit.kind == "task"):
        what = what.replace(f"{task} ", "", 1)
    deed = what.partition(" ")[0] in DEEDS
    return f"{what[0].upper()}{what[1:]}." if deed else phrase("Saved: {what}", what=what)
