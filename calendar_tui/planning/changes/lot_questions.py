"""What is asked about a lot that is put under another cohort: what was recorded of it goes along, though it is of plants of the first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from calendar_tui.season.cutting import Pass
from calendar_tui.season.kind_words import kinds_text
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Official
from calendar_tui.season.wording import some_text


def lot_questions(before: Season, after: Season, names: Sequence[str]) -> Iterator[str]:
    """names: of the lots that are added or changed. One with bags is refused, as these name their cohort themselves."""
    for name in names:
        old, new = before.lots.get(name), after.lots.get(name)
        if old is None or new is None or old.cohort == new.cohort:
            continue
        recorded = [*_of_lot("official sample", after.officials, name), *_of_lot("pass", after.passes, name)]
        if recorded:
            goes = f"{', '.join(recorded)}: recorded of {old.cohort}, and with the lot put under {new.cohort}"
            yield (
                f"lot {name} has {goes}. If they are of plants of {old.cohort}, leave the lot there and add another: "
                f"add lot NAME cohort {new.cohort}"
            )


def _of_lot(kind: str, records: Mapping[str, Official] | Mapping[str, Pass], lot: str) -> Iterator[str]:
    ids = [one.id for one in records.values() if one.lot == lot]
    if ids:
        yield f"{kinds_text(kind, len(ids))} {some_text(ids)}"
