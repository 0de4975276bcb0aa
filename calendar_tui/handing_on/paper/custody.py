"""A custody sheet: which bags go together, and lines for each hand-over with date, time and name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from calendar_tui.handing_on.paper.markup import SHEET_PAPERS, element, escaped, page
from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.samples_text import tagged_rows
from calendar_tui.language.speaking import marked, tr, tr_n, translated
from calendar_tui.planning.plan import Plan
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import Sample
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import full_day_text, unit_text

_HANDOVERS = 6
# Each column of bags with its width, mm, together no more than A4 without its margins; a longer name goes on in a second line.
BAG_COLUMNS: Mapping[str, int] = {
    marked("bag"): 21,
    marked("cohort"): 24,
    marked("variety"): 22,
    marked("place"): 21,
    marked("position"): 15,
    marked("plants"): 11,
    marked("cut on"): 32,
    marked("at"): 12,
    marked("by"): 17,
    marked("sealed"): 11,
}
_HAND_HEADS = (
    marked("date"),
    marked("time"),
    marked("handed over by (name, signature)"),
    marked("taken by (name, signature)"),
    marked("bags"),
    marked("state"),
)
_CSS = """
body { margin: 0; font-size: 9.5pt; color: #000 } h1 { font-size: 16pt; margin: 0 } h2 { font-size: 11pt; margin: 5mm 0 1mm }
p { margin: 1mm 0 } .caution { font-weight: bold } table { width: 100%; border-collapse: collapse } tr { break-inside: avoid }
th { font-size: 7.5pt; font-weight: normal; text-align: left; border-bottom: .3mm solid #000; padding: 0 1mm }
td { border-bottom: .15mm solid #777; padding: 1mm; height: 5mm; overflow-wrap: anywhere; unicode-bidi: isolate }
td:first-child { font-weight: bold; white-space: nowrap } .hands td { height: 10mm } .hands td + td { border-left: .15mm solid #777 }
.bags { table-layout: fixed } .bags th { white-space: nowrap; padding: 0 0 0 1mm }
.hands th:nth-child(1), .hands th:nth-child(6) { width: 20mm } .hands th:nth-child(2), .hands th:nth-child(5) { width: 14mm }
@media screen { body { max-width: 190mm; margin: 8mm auto; padding: 0 4mm } }
"""


def custody_page(plan: Plan, samples: Sequence[Sample], paper: str = "iso") -> bytes:
    """The sheet that goes with these bags; paper: a key of SHEET_PAPERS."""
    laboratories = list(dict.fromkeys(sample.laboratory for sample in samples if sample.laboratory))
    to = ", ".join(plan.season.laboratories[name].name or name for name in laboratories)
    body = [
        element("h1", escaped(tr_n("Custody of {count} bag", "Custody of {count} bags", len(samples)))),
        element("p", escaped(f"{plan.season.name}. {tr('To: {laboratory}', laboratory=to or '_' * 30)}")),
        element("p", escaped(translated(cautions("own tests", "agent"))), class_="caution"),
        _table(BAG_COLUMNS, (_bag_cells(plan, sample) for sample in samples), "bags"),
        *(element("p", escaped(text)) for text in tagged_rows(plan.season, samples)),
        element("h2", escaped(tr("Hand-overs"))),
        _table(dict.fromkeys(_HAND_HEADS), ([""] * len(_HAND_HEADS) for _ in range(_HANDOVERS)), "hands"),
        element("p", escaped(tr("Keep bags dry, cool and out of the sun; count them at each hand-over."))),
    ]
    return page(f"{plan.season.name}: {tr('custody')}", SHEET_PAPERS[paper], _CSS, body)


def _bag_cells(plan: Plan, sample: Sample) -> list[str]:
    timeline = plan.timelines[sample.cohort]
    return [
        grouped(sample.id),
        unit_text(*sample.of.unit),
        timeline.variety.id,
        timeline.stay_on(sample.date).light,
        translated(sample.position),
        str(sample.plants or ""),
        full_day_text(sample.date),
        "" if sample.time is None else f"{clock(sample.time)}",
        sample.who,
        "",
    ]


def _table(columns: Mapping[str, int | None], rows: Iterable[Sequence[str]], name: str) -> str:
    """columns: each head with its width, mm; None where the page has it."""
    heads = (
        element("th", escaped(tr(text)), style=None if mm is None else f"width: {mm - 1}mm")
        for text, mm in columns.items()
    )
    head = element("thead", element("tr", *heads))
    cells = (element("tr", *(element("td", escaped(text)) for text in row)) for row in rows)
    return element("table", head, element("tbody", *cells), class_=name)
