"""What the fills, letters and brackets of the season view mean."""

from __future__ import annotations

from calendar_tui.planning.why.phases import SHORT
from calendar_tui.screens.kit.canvas import Runs
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.season.stages import LETTERS


def legend_rows(width: int, glyphs: Glyphs, most: int) -> list[Runs]:
    """What the fills, capitals, brackets and letters mean, in at most this many rows; the rest is left out."""
    items = [f"{glyphs.phases[key] * 2} {name}" for key, name in SHORT.items()]
    items += [f"{glyphs.outage} lamps failed", "CAPITAL recorded"]
    # The later stages first: where there is little room it is they that are looked for.
    items += [f"{small} {name.replace('_', ' ')}" for name, small in reversed([*LETTERS.items()])]
    items += ["( ) [ ] earliest, latest"]
    lines = [""]
    for item in items:
        longer = f"{lines[-1]}  {item}" if lines[-1] else item
        if len(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(item)
    return [((line, "legend"),) for line in lines[:most]]
