"""Pages to post at the doors of places that are closed after a spray: until when, after what, and that nobody enters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from calendar_tui.handing_on.paper.markup import SHEET_PAPERS, element, escaped, page
from calendar_tui.handing_on.words.cautions import SPRAY
from calendar_tui.language.speaking import marked, tr, translated
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.spraying.closures import Closure, record_days, spray_rules
from calendar_tui.season.spraying import Spray
from calendar_tui.season.wording import full_day_text, hour_of

_CSS = """
body { margin: 0; font-size: 14pt; color: #000 } section { break-after: page } section:last-child { break-after: auto }
h1 { font-size: 44pt; margin: 0 0 4mm; border-bottom: 1mm solid #000 } h2 { font-size: 26pt; margin: 6mm 0 2mm }
p { margin: 2mm 0 } .until { font-size: 30pt; font-weight: bold } .caution { font-weight: bold }
table { width: 100%; border-collapse: collapse; margin-top: 6mm; font-size: 12pt } th { text-align: left; width: 45mm }
th, td { border-bottom: .2mm solid #777; padding: 1.5mm 1mm; vertical-align: top; overflow-wrap: anywhere; unicode-bidi: isolate }
@media screen { body { max-width: 190mm; margin: 8mm auto; padding: 0 4mm } }
"""

NOT_SET = marked("not set")


def door_pages(plan: Plan, closed: Sequence[Closure], paper: str = "iso") -> bytes:
    """A page for each closure; paper: a key of SHEET_PAPERS."""
    body = [element("section", *_closure(plan, one)) for one in closed]
    return page(f"{plan.season.name}: {tr('closed places')}", SHEET_PAPERS[paper], _CSS, body)


def _closure(plan: Plan, closure: Closure) -> Iterator[str]:
    yield element("h1", escaped(tr("{light}: DO NOT ENTER", light=closure.light)))
    if closure.until is None:
        yield element("p", escaped(tr("until this is recorded:")), class_="until")
        # Labels word a condition with an until of its own.
        waits = (wait.replace(": until ", ": ", 1) for wait in closure.waits_for)
        yield from (element("p", escaped(translated(wait)), class_="until") for wait in waits)
    else:
        yield element("p", escaped(tr("until {moment}", moment=_moment(closure.until))), class_="until")
    yield element(
        "p", escaped(f"{plan.season.name}. {tr('Closed since {moment}.', moment=_moment(closure.begins))}")
    )
    for spray in closure.sprays:
        yield element("h2", escaped(spray.product))
        rows = _rows(plan, spray)
        yield element(
            "table",
            *(
                element("tr", element("th", escaped(tr(head))), element("td", escaped(text)))
                for head, text in rows
            ),
        )
    yield element("p", escaped(translated(SPRAY)), class_="caution")
    rules = spray_rules(plan.season, plan.today)
    if rules is not None:
        yield element("p", escaped(f"{rules.citation}."))


def _rows(plan: Plan, spray: Spray) -> Iterator[tuple[str, str]]:
    yield marked("registration number"), spray.registration or tr(NOT_SET)
    yield marked("active ingredient"), spray.active or tr(NOT_SET)
    yield marked("where"), " ".join((spray.place, *spray.parts))
    yield marked("ended"), _moment(datetime.combine(spray.ended_on, spray.end))
    entry = (spray.reentry, translated(spray.condition))
    yield marked("re-entry"), f" {tr('and')} ".join(filter(None, entry)) or tr(NOT_SET)
    yield marked("pre-harvest"), spray.preharvest or tr(NOT_SET)
    yield marked("applied by"), ", ".join(filter(None, (spray.who, spray.certificate))) or tr(NOT_SET)
    rules = spray_rules(plan.season, spray.date)
    if rules is not None and rules.spray_show_d is not None:
        shown = record_days(plan.season, spray, rules.spray_records).show_until
        after = tr("{days} d after re-entry is over", days=rules.spray_show_d)
        yield marked("show this until"), after if shown is None else full_day_text(shown)


def _moment(moment: datetime) -> str:
    return f"{full_day_text(moment.date())} {hour_of(moment)}"
