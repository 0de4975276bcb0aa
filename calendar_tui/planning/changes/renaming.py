"""A record renamed, and all that names it with it: tasks, stays, outages, programmes, drafts, stock. No date moves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import a_kind
from calendar_tui.season.kind_words import kinds_text
from calendar_tui.season.kinds import KINDS
from calendar_tui.season.new_name import new_name
from calendar_tui.season.references import references, renaming_edits
from calendar_tui.season.upgrades import upgraded

RENAMED_KINDS = tuple(kind.name for kind in KINDS if kind.named_in)


def rename_record(held: HeldSeason, kind: str, old: str, new: str) -> Proposal:
    """The proposal that gives a record another id. old: as `finders` give it. Raises FieldErrors."""
    ids = [str(record["id"]) for record in held.records(kind)]
    name = new if new == old else new_name(kind, new, [one for one in ids if one != old])
    taken = next((i for i in ids if i.casefold() == name.casefold() and i != old), None)
    if taken is not None:
        raise FieldErrors(
            [FieldError("id", new, f"there is {a_kind(kind)} {taken} already; give another id")]
        )
    edits = list[Edit]() if name == old else list(renaming_edits(upgraded(held.data), kind, old, name))
    season = checked_season(held, edits, {kind: [(name,)]}, {})
    proposal = proposed(held, season, f"{kind} {old} renamed {name}", edits, kind, [(old,), (name,)])
    notes = _following(held, kind, old) if edits else ()
    return replace(proposal, stages=(), growth_d=(None, None), new_clashes=(), notes=tuple(notes))


def _following(held: HeldSeason, kind: str, old: str) -> Iterator[str]:
    """What names it by the new name too."""
    records = {(ref.naming.kind, ref.ident) for ref in references(upgraded(held.data), kind, old)}
    counts = Counter(of for of, _ in sorted(records, key=str))
    if counts:
        named = ", ".join(f"{count} {kinds_text(of, count)}" for of, count in counts.items())
        yield f"named so from then on: {named}; what the history has keeps the old name"
