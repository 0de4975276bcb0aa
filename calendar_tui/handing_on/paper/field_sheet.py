"""A sheet of a field book to print: plots in walking order, a column a variable with its unit, room to write."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from calendar_tui.handing_on.paper.markup import SHEET_PAPERS, element, escaped, page
from calendar_tui.language.speaking import marked, tr, tr_n, translated
from calendar_tui.planning.field_book.sheet import SheetRow, head_of
from calendar_tui.planning.trials.ground_map import treatment_name
from calendar_tui.season.observing import PLANT, Variable
from calendar_tui.season.trials import Trial
from calendar_tui.season.wording import full_day_text

_RULES = marked('A dot is "not looked", 0 is none, and what is left blank is missing, never zero.')
_CSS = """
body { margin: 0; font-size: 9.5pt; color: #000 } h1 { font-size: 15pt; margin: 0 } p { margin: 1mm 0 }
table { width: 100%; border-collapse: collapse } thead { display: table-header-group } tr { break-inside: avoid }
th { font-size: 8pt; text-align: left; border-bottom: .3mm solid #000; padding: 0 1mm; vertical-align: bottom }
td { border: .15mm solid #777; padding: .5mm 1mm; height: 7mm; unicode-bidi: isolate } td:first-child { font-weight: bold; font-size: 12pt }
td.none { background: #ddd } small { font-weight: normal }
@media screen { body { max-width: 190mm; margin: 8mm auto; padding: 0 4mm } }
"""


def field_sheet_page(
    name: str,
    trial: Trial,
    rows: Sequence[SheetRow],
    variables: Sequence[Variable],
    day: date,
    paper: str = "iso",
) -> bytes:
    """name: of the season; paper: a key of SHEET_PAPERS. A line of a plant has no room for what is of the plot."""
    plots = len({row.plot.id for row in rows})
    plants = any(row.plant is not None for row in rows)
    own = [tr("plot"), *([tr("plant")] if plants else []), tr("treatment")]
    heads = [*own, *map(head_of, variables)]
    head = element("tr", *(element("th", escaped(text)) for text in heads))
    body = [
        element("h1", escaped(f"{trial.name or trial.id}: {full_day_text(day)}")),
        element(
            "p",
            escaped(f"{name}. {_walk_text(plots)} {tr('By: {by} Time: {time}', by='_' * 22, time='_' * 10)}"),
        ),
        element("p", escaped(tr(_RULES))),
        *(element("p", escaped(text)) for text in _how(variables)),
        element(
            "table",
            element("thead", head),
            element("tbody", *(_row(row, variables, plants) for row in rows)),
        ),
    ]
    return page(f"{trial.id}: {tr('field book')}", SHEET_PAPERS[paper], _CSS, body)


def _walk_text(plots: int) -> str:
    return tr_n("{count} plot in walking order.", "{count} plots in walking order.", plots)


def _how(variables: Sequence[Variable]) -> list[str]:
    """What each is, and how it is measured, where that is set."""
    return [
        f"{translated(one.id)}: {'; '.join(parts)}"
        for one in variables
        if (parts := [translated(part) for part in (one.name, one.definition, one.method) if part])
    ]


def _row(row: SheetRow, variables: Sequence[Variable], plants: bool) -> str:
    plot = row.plot
    cells = [str(plot.number), treatment_name(plot)]
    if plants:
        cells.insert(1, "" if row.plant is None else str(row.plant))
    rooms = (
        element(
            "td", escaped(value), class_=None if (one.per == PLANT) == (row.plant is not None) else "none"
        )
        for one, value in zip(variables, row.values, strict=True)
    )
    return element("tr", *(element("td", escaped(text)) for text in cells), *rooms)
