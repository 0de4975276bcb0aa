"""Labels for bags, on the sheets of `label_sheets`: what stands on each and where, in mm, and the pages to print.

Bags get wet: print with a thermal-transfer printer or write in pencil, a paper label outside and one inside (common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from itertools import groupby
from typing import NamedTuple

from calendar_tui.handing_on.paper.codes import QUIET, NoCodes, SquareCode, square_code
from calendar_tui.handing_on.paper.label_sheets import Sheet, label_places
from calendar_tui.handing_on.paper.markup import Paper, element, escaped, fitted, page
from calendar_tui.language.speaking import decimal_text, marked, tr, translated
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.sampling.planned import tagged_of
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import Sample
from calendar_tui.season.wording import full_day_text, plant_count_text, unit_text

NOT_OFFICIAL = marked("PRE-TEST, NOT OFFICIAL")
# Before the rule on which the sampler writes a name.
SIGN = "by"
MM_A_POINT = 25.4 / 72
# Heights of text, mm: the id is 12 pt or more, so that it is read at arm's length (common practice).
_ID_MM = 14 * MM_A_POINT
_TEXT_MM = 2.5
_MARGIN_MM = 1.5
# How wide the bold signs of ids and numbers are, in parts of their height: those of DejaVu Sans, rounded up, and a gap.
_BOLD_SIGNS = {
    "W": 1.12,
    "M": 1.0,
    "-": 0.42,
    **dict.fromkeys("DGHNOQU", 0.86),
    **dict.fromkeys("0123456789", 0.7),
}
_OTHER_SIGN, _GAP = 0.78, 0.3
# From the foot of a line to that of the next, in heights of its text.
_LINE = 1.2
_KINDS = {NOT_OFFICIAL: "notice", SIGN: "sign"}
_CSS = """
body { margin: 0; color: #000; background: #fff } .sheet { position: relative; overflow: hidden; break-after: page }
.sheet:last-child { break-after: auto } .label { position: absolute } .label > * { position: absolute; white-space: nowrap;
  overflow: hidden; margin: 0 } .id, .plot, .notice { font-weight: bold } .plot { text-align: right } .sign { box-sizing: border-box;
  border-bottom: .2mm solid #000; max-width: 60mm } svg { display: block }
.outline { box-sizing: border-box; border: .2mm dashed #000 } .ruler { position: absolute; border-top: .3mm solid #000;
  border-left: .3mm solid #000; border-right: .3mm solid #000; height: 3mm; width: 100mm; font-size: 8pt }
@media screen { .sheet { border: .2mm solid #999; margin: 4mm } }
"""


class Part(NamedTuple):
    """A piece of a label, mm from its left upper corner. text: "" for the code."""

    kind: str
    left: float
    top: float
    width: float
    height: float
    text: str = ""


class LabelText(NamedTuple):
    """What stands on a label, line by line; id: without groups, and what its code holds.

    head: large, in place of the id; head_mm: how large. beside: as large, to the right of it. notice: the last line, "" for none.
    """

    id: str
    lines: tuple[str, ...]
    head: str = ""
    head_mm: float = _ID_MM
    beside: str = ""
    notice: str = NOT_OFFICIAL


def label_text(plan: Plan, sample: Sample) -> LabelText:
    """The lines of a bag's label: cohort and variety, place and position, its day, the sampler's line."""
    timeline = plan.timelines[sample.cohort]
    flowering = timeline.likely("flowering")
    whose = unit_text(*sample.of.unit)
    place = timeline.stay_on(sample.date).light
    return LabelText(
        sample.id,
        (
            f"{whose}  {timeline.variety.id}",
            # First where the plants are cut: a long name of the place is what may not go onto the label as a whole.
            f"{translated(sample.position)}  {place}"
            + (f", {plant_count_text(sample.plants)}" if sample.plants else ""),
            full_day_text(sample.date),
            _flowered_text(plan, sample, flowering),
            *_tagged_lines(plan, sample),
            tr("by {name}", name=sample.who) if sample.who else SIGN,
        ),
        beside=_plot_number(plan, sample),
    )


def _plot_number(plan: Plan, sample: Sample) -> str:
    """What stands on the stake at which the bag is cut; "" of a bag of no one plot."""
    plot = plan.season.plots.get(sample.plot)
    return "" if plot is None or plot.number is None else str(plot.number)


def _tagged_lines(plan: Plan, sample: Sample) -> tuple[str, ...]:
    """The tagged plants that the bag is cut from, where its plan has some."""
    tagged = tagged_of(plan.season, sample.cohort, sample.position)
    return (tr("tagged {plants}", plants=" ".join(tagged)),) if tagged else ()


def _flowered_text(plan: Plan, sample: Sample, flowering: date | None) -> str:
    """ "20 d after flowering"; "~" where that is not recorded, "before flowering" where it is to come."""
    if flowering is None or sample.date < flowering:
        return tr("before flowering")
    guess = "" if "flowering" in plan.season.cohorts[sample.cohort].recorded else "~"
    return tr("{days} d after flowering", days=f"{guess}{(sample.date - flowering).days}")


def label_parts(sheet: Sheet, text: LabelText, code: SquareCode | None) -> tuple[Part, ...]:
    """What stands where on a label: the code on the left, where there is one, and the lines beside it."""
    parts = []
    left = _MARGIN_MM
    if code is not None:
        side = code.side_mm
        parts.append(Part("code", _MARGIN_MM / 2, (sheet.label_h - side) / 2, side, side))
        left = _MARGIN_MM / 2 + side
    width = sheet.label_w - left - _MARGIN_MM
    top = _MARGIN_MM
    large = text.head or grouped(text.id)
    size = _large_mm(text, large, width)
    beside = size * _bold(text.beside)
    head = fitted(large, width - beside, size)
    parts.append(Part("id", left, top, width - beside, size * _LINE, head))
    if text.beside:
        parts.append(Part("plot", left + width - beside, top, beside, size * _LINE, text.beside))
    top += size * _LINE
    lines = (*text.lines, text.notice) if text.notice else text.lines
    step = min((sheet.label_h - _MARGIN_MM - top) / len(lines), _TEXT_MM * _LINE * 1.5)
    for line in lines:
        kind = _KINDS.get(line, "line")
        shown = line if kind == "line" else tr(line)
        parts.append(Part(kind, left, top, width, step, fitted(shown, width, _TEXT_MM)))
        top += step
    return tuple(parts)


def _large_mm(text: LabelText, large: str, width: float) -> float:
    """The height of what is large: less where two stand beside each other on a narrow label."""
    if not text.beside:
        return text.head_mm
    return min(text.head_mm, width / (_bold(large) + _GAP + _bold(text.beside)))


def _bold(text: str) -> float:
    """How wide it is, in parts of its height."""
    return sum(_BOLD_SIGNS.get(sign, _OTHER_SIGN) for sign in text)


def sheets_page(
    title: str,
    texts: Sequence[LabelText],
    sheet: Sheet,
    *,
    first: int = 1,
    offset_x: float = 0.0,
    offset_y: float = 0.0,
    with_codes: bool = True,
) -> bytes:
    """Labels with these texts, in order, as many sheets as they take. first: the label of the first sheet to begin at.

    Raises NoCodes, ValueError.
    """
    codes = [square_code(text.id) if with_codes else None for text in texts]
    places = label_places(sheet, len(texts), first=first, offset_x=offset_x, offset_y=offset_y)
    placed = zip(texts, codes, places, strict=True)
    sheets = [
        element("div", *(_label(sheet, *one) for one in of_page), class_="sheet", style=_sheet_style(sheet))
        for _, of_page in groupby(placed, key=lambda one: one[2].page)
    ]
    return page(title, _paper(sheet), _CSS, sheets)


def can_make_codes() -> bool:
    """Whether the library that makes codes is installed."""
    try:
        square_code("0")
    except NoCodes:
        return False
    return True


def blank_page(sheet: Sheet, offset_x: float = 0.0, offset_y: float = 0.0) -> bytes:
    """A page to print on plain paper and hold against a sheet: every label's outline with its number, and a ruler of 100 mm.

    Raises ValueError.
    """
    places = label_places(sheet, sheet.labels, offset_x=offset_x, offset_y=offset_y)
    outlines = [
        element(
            "div",
            element("span", str(n), style=f"left: 2mm; top: 2mm; font-size: {_ID_MM:.2f}mm"),
            class_="label outline",
            style=_box(place.left, place.top, sheet.label_w, sheet.label_h),
        )
        for n, place in enumerate(places, 1)
    ]
    text = (
        f"{tr('100 mm, if printed at 100 %.')} {sheet.id}: {sheet.name}; {_offsets_text(offset_x, offset_y)}"
    )
    ruler = element("div", escaped(text), class_="ruler", style="left: 12mm; top: calc(50% + 9mm)")
    body = element("div", *outlines, ruler, class_="sheet", style=_sheet_style(sheet))
    return page(tr("A test page for {sheet}", sheet=sheet.id), _paper(sheet), _CSS, [body])


def _offsets_text(x: float, y: float) -> str:
    """ "moved 1.5 mm left, 2 mm down", "not moved"."""
    across, down = decimal_text(f"{abs(x):g}"), decimal_text(f"{abs(y):g}")
    right = tr("{mm} mm right", mm=across) if x > 0 else tr("{mm} mm left", mm=across)
    below = tr("{mm} mm down", mm=down) if y > 0 else tr("{mm} mm up", mm=down)
    ways = ", ".join((*([right] if x else ()), *([below] if y else ())))
    return tr("moved {ways}", ways=ways) if ways else tr("not moved")


def _label(sheet: Sheet, text: LabelText, code: SquareCode | None, place: tuple[int, float, float]) -> str:
    parts = (_DRAWN[part.kind](part, code) for part in label_parts(sheet, text, code))
    style = _box(place[1], place[2], sheet.label_w, sheet.label_h)
    return element("div", *parts, class_="label", style=style)


def _text(part: Part, code: SquareCode | None) -> str:
    size = part.height / _LINE if part.kind in ("id", "plot") else min(_TEXT_MM, part.height)
    style = f"{_box(*part[1:5])}; font-size: {size:.2f}mm; line-height: {part.height:.2f}mm"
    return element("p", escaped(part.text), class_=part.kind, style=style)


def _code(part: Part, code: SquareCode | None) -> str:
    assert code is not None
    return element("div", code_drawing(code), class_="code", style=_box(*part[1:5]))


def code_drawing(code: SquareCode) -> str:
    """A code as an SVG of its true size, with its quiet zone."""
    side = code.modules + 2 * QUIET
    drawn = element("path", d=code.path, fill="#000", shape_rendering="crispEdges")
    size = f"{code.side_mm:g}mm"
    return element("svg", drawn, viewBox=f"0 0 {side} {side}", width=size, height=size)


_DRAWN: dict[str, Callable[[Part, SquareCode | None], str]] = {
    "code": _code,
    "id": _text,
    "plot": _text,
    "line": _text,
    "sign": _text,
    "notice": _text,
}


def _box(left: float, top: float, width: float, height: float) -> str:
    return f"left: {left:.3f}mm; top: {top:.3f}mm; width: {width:.3f}mm; height: {height:.3f}mm"


def _sheet_style(sheet: Sheet) -> str:
    # A hair less high than the paper, so that rounding makes no further page.
    return f"width: {sheet.paper_w:g}mm; height: {sheet.paper_h - 0.1:g}mm"


def _paper(sheet: Sheet) -> Paper:
    return Paper(f"{sheet.paper_w:g}mm {sheet.paper_h:g}mm", sheet.paper_w, sheet.paper_h, 0)


def sheet_rows(sheets: Iterable[Sheet]) -> Iterator[str]:
    """The sheets that there are, a line each."""
    for sheet in sheets:
        yield f"  {sheet.id:<13} {sheet.name}"
