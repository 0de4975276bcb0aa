"""Records of the crop taken out: what others rest on stays, with a sentence that names them; the rest goes."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.removal import remove_records
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.kinds import BY_NAME, STANDS
from calendar_tui.season.reading import read_season
from calendar_tui.season.refusal import Refusal
from tests.season_data import data_of

NAMES = ("two-rivers", "laguna-alta", "north-bench")
SEASONS = Path(__file__).parents[2] / "seasons"


@cache
def held(name: str) -> HeldSeason:
    data = data_of((SEASONS / f"{name}.toml").read_text(encoding="utf-8"))
    reading = read_season(data)
    assert reading.season is not None
    assert reading.season.example_today is not None
    return HeldSeason(make_plan(reading.season, reading.season.example_today), data, "", reading)


@pytest.mark.parametrize(
    ("kind", "name", "text"),
    [
        (
            "cohort",
            "L1",
            r"^samples ZETNVM, .* name L1, so it stays; name another cohort there, or take them out first$",
        ),
        (
            "lot",
            "E1-south",
            r"^samples V53CKC, .* name E1-south, so it stays; name another lot there, or take them out",
        ),
        ("laboratory", "bench-lab", r" bench-lab, so it stays; name another laboratory there, or take"),
        (
            "sample",
            "ZETNVM",
            r"^result r1 names ZETNVM, so it stays; name another sample there, or take it out first$",
        ),
        ("batch", "D1", r"^pass L1-1 names D1, so it stays; name another batch there, or take it out first$"),
    ],
)
def test_what_records_of_the_crop_rest_on_is_not_taken_out(kind: str, name: str, text: str) -> None:
    with pytest.raises(Refusal, match=text):
        remove_records(held("north-bench"), kind, [(name,)])


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    "kind", [kind for kind, of in BY_NAME.items() if of.by_id and kind not in ("task", "chore")]
)
def test_each_record_of_the_examples_is_taken_out_or_refused_in_a_sentence(name: str, kind: str) -> None:
    season = held(name)
    for record in season.data.get(kind, ())[:12]:
        refused = ""
        try:
            proposal = remove_records(season, kind, [(record["id"],)])
        except Refusal as refusal:
            refused = str(refusal)
        assert refused or all(
            edit.op == "remove" for edit in proposal.change.edits if record["id"] in edit.ident
        )
        assert not refused or "so it stays; " in refused


def test_every_kind_that_another_rests_on_is_tried_above() -> None:
    stood_on = {kind for kind, of in BY_NAME.items() if any(n.when_gone == STANDS for n in of.named_in)}
    assert stood_on <= {kind for kind, of in BY_NAME.items() if of.by_id} | {"sample", "batch"}
