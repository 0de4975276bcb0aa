"""How the season view is divided: rows of each part, and the columns beside the time axis."""

from __future__ import annotations

from typing import NamedTuple

from calendar_tui.planning.arranging import Group
from calendar_tui.planning.plan import Plan
from calendar_tui.season.cells import cell_len
from calendar_tui.season.units_in_use import clock_cells

# Below this the chart gives way to a list.
SMALLEST = (60, 16)
# From this size on the room below the chart is divided among the selected cohort and the week.
PANES_FROM = (150, 40)
# Title, time axis and the line of the day at the cursor.
_FIXED_ROWS = 3
# Rows of the legend, and of the sky, at the most.
_LEGEND_MOST, _SKY_MOST = 3, 10
# Rows of the sky and of details: in the smallest screen, in one of 80x24, and from this height on at the least.
_TALL_FROM = 30
_SKY_AND_DETAIL = ((4, 2), (5, 2), (6, 5))
_WIDE_FROM = 110
_PLANTS = 7
# Cells of the names of groups and of cohorts at the most; narrow, wide.
_GROUP_MOST, _NAME_MOST = (8, 14), (10, 24)


class Right(NamedTuple):
    """What stands right of the time axis: the cells it takes in all; whether the harvest's range and what comes next are there.

    long: whether what comes next is in full.
    """

    width: int
    range: bool
    next: bool
    long: bool


# By the width of the screen from which there is room: " 15 Jan", "12-20 Jan", "lights off 12 Dec".
_RIGHT = (
    (150, Right(61, range=True, next=True, long=True)),
    (110, Right(46, range=True, next=True, long=False)),
    (76, Right(28, range=False, next=True, long=False)),
    (0, Right(9, range=False, next=False, long=False)),
)
# Of a time by the clock of 24 hours, in which what comes next may end: "closed to Wed 05:15".
_HOUR_CELLS = 5


class Layout(NamedTuple):
    """group, name, plants: cells of the name of a group, of a cohort, and of its number of plants (0: not shown), left of the time axis. sky, rows, legend, detail: rows of
    the day over the plants, of cohorts and folded groups, of the legend, and below the line of the day at the cursor.
    panes: whether that room is divided.
    """

    group: int
    name: int
    plants: int
    right: Right
    sky: int
    rows: int
    legend: int
    detail: int
    panes: bool

    @property
    def first_row(self) -> int:
        """The row of the first cohort."""
        return 2 + self.sky

    @property
    def label(self) -> int:
        """Cells left of the time axis: the group, a blank, pointer and clash, the name, a blank."""
        return self.group + self.name + self.plants + 4

    def columns(self, width: int) -> int:
        """Cells of the time axis."""
        return max(width - self.label - self.right.width, 1)


def lay(plan: Plan, groups: tuple[Group, ...], rows: int, width: int, height: int) -> Layout:
    """Divide a screen of this size, its footer not counted. rows: how many cohorts and folded groups there are."""
    body = height - _FIXED_ROWS
    tall = height >= _TALL_FROM
    # Details change at each move to another cohort: few lines of them keep that cheap on a small screen.
    sky, detail = _SKY_AND_DETAIL[sum(height >= least for least in (21, _TALL_FROM))]
    shown = max(min(rows, body - sky - detail - (_LEGEND_MOST if tall else 0)), 1)
    spare = body - sky - shown - detail
    legend = min(spare, _LEGEND_MOST)
    spare -= legend
    if tall:
        sky += min(spare // 3, _SKY_MOST - sky)
    detail = body - sky - shown - legend
    panes = width >= PANES_FROM[0] and height + 1 >= PANES_FROM[1]
    right = next(right for least, right in _RIGHT if width >= least)
    if right.next and not right.long:
        right = right._replace(width=right.width + clock_cells() - _HOUR_CELLS)
    group, name = _label_cells(plan, groups, width)
    plants = _PLANTS if width >= _WIDE_FROM else 0
    return Layout(group, name, plants, right, sky, shown, legend, detail, panes)


def _label_cells(plan: Plan, groups: tuple[Group, ...], width: int) -> tuple[int, int]:
    wide = width >= _WIDE_FROM
    group = max((cell_len(group.name) for group in groups), default=0)
    name = max((cell_len(c.id) + cell_len(c.variety) + 1 for c in plan.season.cohorts.values()), default=0)
    return min(max(group, 2), _GROUP_MOST[wide]), min(max(name, 6), _NAME_MOST[wide])
