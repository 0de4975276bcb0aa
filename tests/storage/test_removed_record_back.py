"""A record taken away comes back with its comments and at its place, also where the file was edited by hand since."""

from datetime import UTC, datetime

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import redo_last, undo_last
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import save_change
from calendar_tui.storage.toml.raising import raised
from tests.season_data import data_of

TEXT = """\
# The farm
[season]
name = "Two Rivers"

# the first, by the gate
[[cohort]]
id = "A1"
plants = 10   # counted

# the second, on sand
[[cohort]]
id = "A2"
# watered by hand
plants = 20   # counted twice
planned = { seeding = 2026-10-05 }  # not before

# the third
[[cohort]]
id = "A3"
plants = 30

[[task]]
id = "T1"
state = "open"
"""
WHEN = datetime(2026, 10, 5, tzinfo=UTC)
LONG = "".join(f'[[place]]\nid = "P{n}"\nkind = "field"\n\n' for n in range(9))


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two-rivers.toml"
    path.write_text(TEXT)
    return path


def remove(path, *names, more=()):
    edits = tuple(Edit("remove", "cohort", (name,)) for name in names)
    save_change(path, Change("removed", (*edits, *more)), who="ana", when=WHEN)


def undo(path):
    return undo_last(path, who="ana", when=WHEN)


def by_hand(path, old, new):
    text = path.read_text()
    assert text.count(old) == 1
    path.write_text(text.replace(old, new))


HANDS = {
    "a comment at the top": ("# The farm\n", "# The farm\n# of Ana and Ben\n"),
    "nine records above": ("[season]\nname", f"{LONG}[season]\nname"),
    "a value beside it": ("plants = 10   # counted", "plants = 11   # counted anew"),
    "a line in the record above": ('id = "A1"\n', 'id = "A1"\nnote = "windy"\n'),
    "below it": ("plants = 30\n", "plants = 31\n# thinned\n"),
}


# What is edited by hand must not have gone with the record.
CASES = {
    f"{hand}, {name}": (name, *HANDS[hand])
    for hand in HANDS
    for name in ("A1", "A2", "A3")
    if (name, hand)
    not in {("A1", "a value beside it"), ("A1", "a line in the record above"), ("A3", "below it")}
}


@pytest.mark.parametrize(("name", "old", "new"), CASES.values(), ids=CASES.keys())
def test_comments_and_place_come_back_over_an_edit_by_hand_elsewhere(season, name, old, new):
    remove(season, name)
    by_hand(season, old, new)
    assert not undo(season).exact
    assert season.read_text() == TEXT.replace(old, new)
    after = season.read_text()
    redo_last(season, who="ana", when=WHEN)
    assert f'"{name}"' not in season.read_text()
    undo(season)
    assert season.read_text() == after


def test_several_records_and_a_field_come_back_together(season):
    remove(season, "A1", "A3", more=[Edit("set", "task", ("T1",), ("state",), "done")])
    by_hand(season, "# The farm\n", LONG)
    undo(season)
    assert season.read_text() == TEXT.replace("# The farm\n", LONG)


def test_a_history_from_before_places_were_noted_brings_the_comments_back_too(season):
    remove(season, "A2")
    file = season.with_name("two-rivers.history.jsonl")
    text = file.read_text()
    assert '"anchors"' in text
    file.write_text(text.replace('"anchors"', '"of old"'))
    by_hand(season, "plants = 10   # counted", "plants = 11   # counted anew")
    undo(season)
    assert season.read_text() == TEXT.replace("plants = 10   # counted", "plants = 11   # counted anew")


def test_a_record_that_was_made_anew_by_hand_is_not_doubled(season):
    remove(season, "A2")
    by_hand(season, "[[task]]", '[[cohort]]\nid = "A2"\n\n[[task]]')
    before = season.read_text()
    with pytest.raises(SeasonFileError, match="A2"):
        undo(season)
    assert season.read_text() == before


def test_where_its_lines_fit_nowhere_its_fields_still_come_back(season):
    remove(season, "A2")
    season.write_text(season.read_text().replace("\n\n", "\n"))
    undo(season)
    assert "planned = { seeding = 2026-10-05 }" in season.read_text()


ROWS = """\
# The farm
format = 3

[records]
task = [
  # November
  { id = "T1", date = 2026-11-02, state = "open" },
  # with the long hose
  { id = "T2", date = 2026-11-09, state = "open" },   # twice
  { id = "T3", date = 2026-11-16, state = "open" },
]
"""
ROW_HANDS = {
    "a comment at the top": ("# The farm\n", "# The farm\n# of Ana and Ben\n"),
    "a record above": ("  # November\n", '  { id = "T0", date = 2026-11-01 },\n  # November\n'),
    "a value beside it": ('id = "T3", date = 2026-11-16', 'id = "T3", date = 2026-11-17'),
    "the line above": ('2026-11-02, state = "open"', '2026-11-02, state = "done"'),
}


@pytest.mark.parametrize(("old", "new"), ROW_HANDS.values(), ids=ROW_HANDS.keys())
def test_a_record_of_one_line_comes_back_with_its_comments_at_its_place(season, old, new):
    season.write_text(ROWS)
    save_change(season, Change("removed", (Edit("remove", "task", ("T2",)),)), who="ana", when=WHEN)
    by_hand(season, old, new)
    assert not undo(season).exact
    assert season.read_text() == ROWS.replace(old, new)


def test_a_block_removed_before_the_upgrade_comes_back_as_a_line_with_its_comments(season):
    block = '# with the long hose\n[[task]]   # twice\nid = "T2"\ndate = 2026-11-09\nstate = "open"\n\n'
    others = '[[task]]\nid = "{}"\ndate = 2026-11-{}\nstate = "open"\n\n'
    season.write_text("format = 2\n\n" + others.format("T1", "02") + block + others.format("T3", "16"))
    save_change(season, Change("removed", (Edit("remove", "task", ("T2",)),)), who="ana", when=WHEN)
    upgrade_season_text(season)
    undo(season)
    assert season.read_text() == (
        "format = 3\n\n[records]\ntask = [\n"
        '  { id = "T1", date = 2026-11-02, state = "open" },\n'
        "  # with the long hose\n  # twice\n"
        '  { id = "T2", date = 2026-11-09, state = "open" },\n'
        '  { id = "T3", date = 2026-11-16, state = "open" },\n]\n'
    )


def upgrade_season_text(path):
    """As an upgrade writes it, which asks that the season makes sense."""
    text = path.read_text()
    path.write_text(raised(text, data_of(text), 3).text)
