"""Only the cells that change are sent: what differs between two drawings of a row, and how that reaches the terminal.

Textual 8 sends a changed line again from its widget's left edge on; a compositor of our own begins where the change does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from rich.console import Console
from rich.control import Control
from textual._compositor import ChopsUpdate, Compositor

from calendar_tui.screens.kit.canvas import Runs, text_of
from calendar_tui.screens.kit.style_codes import slim
from calendar_tui.season.cells import cell_parts, is_single

# Moving the terminal's cursor costs about as much as so many cells: a shorter gap between changes is sent with them.
SHORT_GAP = 8


def changed_spans(old: Runs, new: Runs) -> Iterator[tuple[int, int]]:
    """The first cell and the one past the last of each stretch in which two rows of one width differ."""
    (texts, styles), (new_texts, new_styles) = _cells(old), _cells(new)
    cells = enumerate(zip(texts, new_texts, styles, new_styles, strict=True))
    differing = [x for x, (text, after, style, then) in cells if text != after or style != then]
    if not differing:
        return
    gaps = [n for n, (x, y) in enumerate(pairwise(differing), 1) if y - x > SHORT_GAP]
    for first, end in pairwise((0, *gaps, len(differing))):
        yield differing[first], differing[end - 1] + 1


def _cells(row: Runs) -> tuple[Sequence[str], list[str]]:
    """What stands in each cell of a row, a letter of two cells in both; and the style of each."""
    line = text_of(row)
    if is_single(line):
        return line, [style for text, style in row for _ in text]
    parts = [(part, style) for text, style in row for part in cell_parts(text)]
    texts = [part for part, _ in parts]
    for x in [x for x, part in enumerate(texts) if not part]:
        texts[x] = texts[x - 1]
    return texts, [style for _, style in parts]


class SpanCompositor(Compositor):
    """Textual's compositor; its partial updates hold no more than what is to be sent."""

    def render_partial_update(self) -> ChopsUpdate | None:
        update = super().render_partial_update()
        return None if update is None else _SpansUpdate(update.chops, update.spans, update.chop_ends)


class _SpansUpdate(ChopsUpdate):
    def render_segments(self, console: Console) -> str:
        out: list[str] = []
        at = (-1, -1)  # the row, and the cell after what was sent last
        for y, x1, x2 in self.spans:
            for end, (x, strip) in zip(self.chop_ends[y], self.chops[y].items(), strict=False):
                if strip is not None and x < x2 and end > x1:
                    first, last = max(x, x1), min(end, x2)
                    onward = Control.move(first - at[1], 0) if at[0] == y else Control.move_to(first, y)
                    out.append(onward.segment.text)
                    out.append(strip.crop(first - x, last - x).render(console))
                    at = (y, last)
        return slim("".join(out))
