"""What a day asks, as plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterable

from calendar_tui.handing_on.tables.decision_rows import decision_rows
from calendar_tui.handing_on.tables.field_book_rows import round_row
from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.handing_on.tables.lamp_rows import lamp_rows
from calendar_tui.handing_on.tables.task_rows import task_rows, tip_look_rows
from calendar_tui.planning.lamps.to_relight import to_relight_text
from calendar_tui.planning.today import Today
from calendar_tui.planning.waiting import Counts
from calendar_tui.storage.journal.lines import Entry


def today_row(today: Today, changed: Iterable[Entry]) -> Row:
    """What waits on the day.

    warnings: how many clashes there are beside those under to_record. lamps: the runs of tonight for each light, none
    where it stays off.
    """
    return {
        "date": today.day,
        "counts": _counts_row(today.counts),
        "closed": decision_rows(today.closed, today.day),
        "to_relight": [
            {
                "cohorts": list(waiting.cohorts),
                "place": waiting.outage.place,
                "from": waiting.outage.first,
                "to": waiting.outage.last,
                "last_night": waiting.verdict.by,
                "text": to_relight_text(waiting, today.day),
            }
            for waiting in today.relight
        ],
        "to_look_at": tip_look_rows(today.looks),
        "to_decide": decision_rows(today.decisions, today.day),
        "to_record": [
            {"cohort": row.about, "about": row.stage, "text": f"{row.what}, {row.why}"}
            for row in today.to_record
        ],
        "to_observe": [round_row(one) for of_task in today.to_observe for one in of_task],
        "failed": [f._asdict() for f in today.failed],
        "work": [
            {
                "place": there.place,
                "overdue": task_rows(there.overdue, today.holds),
                "today": task_rows(there.today, today.holds),
            }
            for there in today.work
        ],
        "lamps": [
            {"light": t.light, "cohorts": list(t.cohorts), "runs": lamp_rows(t.runs)} for t in today.tonight
        ],
        "changed": [{"when": e.when, "who": e.who, "what": e.what} for e in changed],
    }


def _counts_row(counts: Counts) -> Row:
    return {
        "to_decide": counts.to_decide,
        "overdue": counts.overdue,
        "due": counts.due,
        "to_record": counts.to_record,
        "warnings": counts.clashes,
    }
