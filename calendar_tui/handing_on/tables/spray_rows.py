"""Sprays and what they close as plain data for JSON; what is closed in a week loads no plan."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time
from typing import TYPE_CHECKING, Any

from calendar_tui.planning.spraying.closures import Closure, closures, first_cut, record_days, spray_rules
from calendar_tui.season.records import Season
from calendar_tui.season.spraying import Spray

if TYPE_CHECKING:
    from calendar_tui.handing_on.tables.json_rows import Row
    from calendar_tui.planning.plan import Plan


def sprays_data(plan: Plan, names: Sequence[str]) -> Row:
    """closed: from today on; until: by the local clock, null while it waits. first_cut: by cohort that stood under a spray."""
    season = plan.season
    cuts = {name: first_cut(season, timeline) for name, timeline in plan.timelines.items()}
    return {
        "closed": [closure_row(one) for one in closures(season, plan.today)],
        "sprays": [_spray_row(season, season.sprays[name]) for name in names],
        "first_cut": {
            name: {"from": cut.moment, "waits_for": list(cut.waits_for), "rule": cut.rule}
            for name, cut in cuts.items()
            if cut is not None
        },
    }


def closure_row(closure: Closure) -> Row:
    """A closure of a place or of a part of it. until_is: "second" where the clock shows that hour twice and the second is meant."""
    return {
        "place": closure.light,
        "from": closure.begins,
        "until": closure.until,
        "until_is": "second" if closure.until is not None and closure.until.fold else "",
        "waits_for": list(closure.waits_for),
        "rule": closure.rule,
        "sprays": [spray.id for spray in closure.sprays],
    }


def _plain(value: Any) -> Any:
    """A time of the clock as "17:15"."""
    return f"{value:%H:%M}" if isinstance(value, time) else value


def _spray_row(season: Season, spray: Spray) -> Row:
    fields = {name: _plain(getattr(spray, name)) for name in spray.__slots__}
    rules = spray_rules(season, spray.date)
    if rules is None:
        return fields
    days = record_days(season, spray, rules.spray_records)
    return fields | {
        "write_by": days.write_by,
        "show_until": days.show_until,
        "keep_until": days.keep_until,
        "rules": rules.citation,
    }
