"""The last line of a view: its keys, or what the program tells, with the way to more of it and to the help at the right."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from calendar_tui.language.speaking import tr
from calendar_tui.screens.kit.actions import BY_ID, GAP, footer_runs
from calendar_tui.screens.kit.canvas import Runs, fitted, joined
from calendar_tui.screens.kit.every_key import KEYS
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.key import Key
from calendar_tui.screens.kit.notices import Message
from calendar_tui.season.cells import cell_len

# Style names of messages by severity.
STYLE_NAMES = {"information": "message", "warning": "warning", "error": "refusal"}
# Cells that a message has, before keys beside it give way.
LEAST_MESSAGE = 16
_MORE = BY_ID["program.ctrl+o"]
_HELP = BY_ID["help.question_mark,f1"].action


def foot_runs(keys: Iterable[Key], width: int, glyphs: Glyphs, message: Message | None) -> Runs:
    """A row exactly `width` cells wide: the message where something was told, else the keys."""
    named = [key for key in keys if key.foot]
    if message is None:
        return fitted(footer_runs(named, width, glyphs.arrows), width, glyphs.ellipsis)
    return message_runs(message, named, width, glyphs)


def message_runs(message: Message, keys: Sequence[Key], width: int, glyphs: Glyphs) -> Runs:
    """The message and the keys beside it: what takes it back, the whole text where there is more, and the help."""
    pairs = [*_back_pair(message, keys), *_last_pair(keys)]
    if message.more or cell_len(message.line) > _room(pairs, width):
        pairs.insert(-1, (_MORE.shown, tr("more")))
    while len(pairs) > 1 and _room(pairs, width) < LEAST_MESSAGE:
        pairs = pairs[1:]
    count = f" (+{message.more})" if message.more else ""
    text = ((message.line, STYLE_NAMES[message.notice.severity]),)
    room = max(_room(pairs, width) - len(count), 0)
    shown = fitted(text, min(room, cell_len(message.line)), glyphs.ellipsis)
    beside = [run for key, does in pairs for run in ((GAP, "footer"), (key, "key"), (f" {does}", "footer"))]
    blank = " " * (room - sum(cell_len(part) for part, _ in shown))
    return fitted(joined((*shown, (count, "footer"), (blank, ""), *beside)), width, glyphs.ellipsis)


def _back_pair(message: Message, keys: Sequence[Key]) -> list[tuple[str, str]]:
    """The key that takes back what is told, where the view has it."""
    acts = {key.action for key in KEYS.get(message.notice.back, ())}
    return [(key.shown, key.foot) for key in keys if key.action and key.action in acts]


def _last_pair(keys: Sequence[Key]) -> list[tuple[str, str]]:
    """Help, or where the view has none, the way out."""
    helps = [key for key in keys if key.action == _HELP]
    return [(key.shown, key.foot) for key in helps or keys[-1:]]


def _room(pairs: Sequence[tuple[str, str]], width: int) -> int:
    return width - sum(cell_len(f"{GAP}{key} {does}") for key, does in pairs)
