"""The growers' page as HTML that prints: nothing is fetched, and every drawing stands in it."""

from __future__ import annotations

from calendar_tui.handing_on.paper.markup import SHEET_PAPERS, element, escaped, page
from calendar_tui.handing_on.report.parts import Drawing, Listed, Page, Part, Section, Table, Text

_CSS = (
    "body { margin: 0 auto; max-width: 186mm; font-size: 10pt; line-height: 1.35 } h1 { font-size: 17pt; margin: 0 0 2mm } "
    "h2 { font-size: 12.5pt; margin: 6mm 0 2mm; border-bottom: 0.3mm solid #777; break-after: avoid } p { margin: 0 0 2mm } "
    "p.under { color: #333; margin: 0 } ul { margin: 0 0 2mm; padding-left: 5mm } "
    "table { border-collapse: collapse; margin: 1mm 0 1mm; font-size: 9pt } caption { text-align: left; font-weight: bold; "
    "padding: 1mm 0; break-after: avoid } th, td { text-align: left; vertical-align: top; padding: 0.6mm 2.5mm 0.6mm 0; "
    "border-bottom: 0.15mm solid #aaa } th { border-bottom: 0.4mm solid #333 } .n { text-align: right } tr { break-inside: avoid } "
    "thead { display: table-header-group } p.note { font-size: 8.5pt; color: #333; margin-bottom: 4mm } "
    "figure { margin: 2mm 0 4mm; break-inside: avoid } figcaption { font-size: 8.5pt; color: #333 } "
    "svg { display: block; max-width: 100%; height: auto } text { unicode-bidi: isolate } "
    "@media screen { body { padding: 8mm } } @media screen and (max-width: 150mm) { table { display: block; overflow-x: auto } }"
)


def html_page(shown: Page, paper: str = "iso") -> bytes:
    """A page to open in a browser and print; paper: a key of SHEET_PAPERS."""
    under = [element("p", escaped(line), class_="under") for line in shown.under]
    body = [element("h1", escaped(shown.title)), *under, *map(_section, shown.sections)]
    return page(shown.title, SHEET_PAPERS[paper], _CSS, body)


def _section(one: Section) -> str:
    return element("section", element("h2", escaped(one.heading)), *map(_part, one.parts))


def _part(part: Part) -> str:
    if isinstance(part, Text):
        return element("p", escaped(part.text))
    if isinstance(part, Listed):
        return element("ul", *(element("li", escaped(item)) for item in part.items))
    if isinstance(part, Drawing):
        return element("figure", part.svg, element("figcaption", escaped(part.caption)))
    return _table(part)


def _table(table: Table) -> str:
    head = element("tr", *_cells("th", table.head, table))
    rows = [element("tr", *_cells("td", row, table)) for row in table.rows]
    made = element(
        "table", element("caption", escaped(table.caption)), element("thead", head), element("tbody", *rows)
    )
    return made + (element("p", escaped(table.note), class_="note") if table.note else "")


def _cells(name: str, row: tuple[str, ...], table: Table) -> list[str]:
    scope = "col" if name == "th" else None
    return [
        element(name, escaped(cell), class_="n" if n in table.numbers else None, scope=scope)
        for n, cell in enumerate(row)
    ]
