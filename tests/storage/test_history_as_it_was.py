"""A season file as it was on a date: to the byte where the history leads there, else by fields, and told."""

import json
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.history.as_it_was import as_it_was_after, as_it_was_on
from calendar_tui.storage.history.shortening import shorten_history
from calendar_tui.storage.history.undo import redo_last, undo_last
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import save_change
from tests.counting import lines_run

TEXT = """\
# The farm
[records]
task = [
  { id = "T1", n = 0 },   # first
  { id = "T2", n = 0 },
]
"""
FIRST = datetime(2026, 10, 5, 1, 30, tzinfo=UTC)
SITE = ZoneInfo("America/Montevideo")  # three hours behind UTC, so a save counts for the evening before


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_text(TEXT)
    return path


def save(path, day, *edits):
    when = FIRST + timedelta(days=day)
    return save_change(path, Change(f"day {day}", edits), who="ana", when=when).text


def put(name, value, field="n"):
    return Edit("set", "task", (name,), (field,), value)


@pytest.fixture
def texts(season):
    """The file on the evening of 4 October and the three after it."""
    return [
        save(season, 0, put("T1", 1)),
        save(season, 1, Edit("remove", "task", ("T2",))),
        save(season, 2, Edit("add", "task", ("T3",), (), {"id": "T3", "n": 5})),
        save(season, 3, put("T3", 6), put("T1", 2)),
    ]


def on(path, day):
    return as_it_was_on(path, date(2026, 10, day), SITE)


def test_every_day_is_shown_to_the_byte(season, texts):
    for day, text in enumerate(texts, 4):
        found = on(season, day)
        assert (found.text, found.notes) == (text, ())
        assert found.last.what == f"day {day - 4}"
    assert on(season, 20).text == season.read_text()


def test_after_each_change_too(season, texts):
    for n, text in enumerate(texts, 1):
        assert as_it_was_after(season, n, SITE).text == text
    with pytest.raises(SeasonFileError, match="change 9 is not in its history"):
        as_it_was_after(season, 9, SITE)


def test_undo_and_redo_are_walked_back_like_any_change(season, texts):
    undo_last(season, 3, who="ben", when=FIRST + timedelta(days=5))
    redo_last(season, 2, who="ben", when=FIRST + timedelta(days=6))
    assert season.read_text() == texts[2]
    assert [on(season, day).text for day in (4, 7, 9, 10)] == [texts[0], texts[3], texts[0], texts[2]]


def test_before_the_first_change_it_is_shown_as_it_was_before_that(season, texts):
    found = on(season, 1)
    assert (found.text, found.last) == (TEXT, None)
    assert found.notes == (
        "The history begins with change 1 of 2026-10-04; it is shown as it was before that, and when it came to be "
        "so is not noted.",
    )


def test_without_a_history_it_is_shown_as_it_is(season):
    found = on(season, 1)
    assert (found.text, found.last) == (TEXT, None)
    assert found.notes == ("Its history has no changes, so it is shown as it is now.",)


def test_an_edit_by_hand_on_an_unknown_day_is_told(season, texts):
    by_hand = texts[3] + "# by hand\n"
    season.write_text(by_hand)
    save(season, 9, put("T1", 7))
    found = on(season, 8)
    assert found.text == by_hand
    assert found.notes == (
        "The file was also edited by hand between change 4 of 2026-10-07 and change 5 of 2026-10-13, on a day that is "
        "not noted; that edit is in what is shown.",
    )
    assert on(season, 13).notes == ()


def test_an_edit_by_hand_since_the_last_change_is_told(season, texts):
    season.write_text(texts[3] + "# by hand\n")
    (note,) = on(season, 8).notes
    assert note.startswith("The file was also edited by hand after change 4 of 2026-10-07, on a day")


def test_behind_an_edit_by_hand_fields_are_taken_back_as_far_as_they_fit(season, texts):
    season.write_text("# by hand\n" + texts[3])
    save(season, 9, put("T1", 7))
    found = on(season, 4)
    assert found.text.startswith("# by hand\n# The farm\n")
    assert found.data == {"task": [{"id": "T1", "n": 1}, {"id": "T2", "n": 0}]}
    assert found.notes == (
        "The file was edited by hand between change 4 of 2026-10-07 and change 5 of 2026-10-13. What was edited by "
        "hand is in what is shown; the changes before that are taken back field by field.",
    )


def test_before_the_first_change_both_are_told(season, texts):
    season.write_text("# by hand\n" + texts[3])
    found = on(season, 1)
    assert found.data == {"task": [{"id": "T1", "n": 0}, {"id": "T2", "n": 0}]}
    assert found.notes[0].startswith("The file was edited by hand after change 4 of 2026-10-07.")
    assert found.notes[1].startswith("The history begins with change 1 of 2026-10-04")


def test_a_field_edited_by_hand_stays_as_it_is_and_is_named(season, texts):
    season.write_text(texts[3].replace("n = 6", "n = 66"))
    found = on(season, 4)
    assert found.data == {"task": [{"id": "T1", "n": 1}, {"id": "T3", "n": 66}, {"id": "T2", "n": 0}]}
    assert found.notes[1] == "Shown as edited by hand since: task T3 n (change 4), task T3 (change 3)."


def test_an_entry_that_never_reached_the_file_is_not_walked(season, texts):
    text = season.read_text()
    save(season, 5, put("T1", 9))
    season.write_text(text)
    found = on(season, 5)
    assert (found.text, found.notes) == (texts[1], ())


def test_an_older_file_put_back_is_no_hindrance(season, texts):
    season.write_text(texts[1])
    save(season, 9, put("T1", 7))
    for day, text in enumerate(texts[:3], 4):
        assert (on(season, day).text, on(season, day).notes) == (text, ())
    found = on(season, 8)
    assert found.text == texts[3]
    assert found.notes[0].endswith("on a day that is not noted; that edit is not in what is shown.")
    assert as_it_was_after(season, 3, SITE).text == texts[2]


def test_a_text_put_together_by_hand_that_was_there_before_is_known_to_the_byte(season, texts):
    """Behind an edit by hand, once the file is as the history knows it again."""
    season.write_text("# by hand\n" + texts[3])
    save(season, 9, put("T1", 7))
    season.write_text(texts[2])
    assert on(season, 4).text == texts[0]
    assert on(season, 4).notes == ()


def row(n):
    """The line of T3, as the history has it."""
    return json.dumps(f'  {{ id = "T3", n = {n} }},')


def test_a_history_that_was_tampered_with_is_refused(season, texts):
    file = history_path(season)
    whole = file.read_text()
    file.write_text(whole.replace(f"[{row(5)}], [{row(6)}]", f"[{row(4)}], [{row(6)}]"))
    assert file.read_text() != whole
    with pytest.raises(SeasonFileError, match="what it leads to is another text than was there"):
        on(season, 6)
    file.write_text(whole.replace(f"[{row(5)}], [{row(6)}]", f"[{row(5)}], [{row(7)}]"))
    with pytest.raises(
        SeasonFileError, match="its history does not lead back: these lines are not as they were"
    ):
        on(season, 4)


def test_what_was_moved_away_is_said_and_where(season, texts):
    shorten_history(season, date(2026, 10, 6), SITE, who="ben", when=FIRST)
    assert on(season, 5).text == texts[1]
    assert on(season, 6).text == texts[2]
    with pytest.raises(
        SeasonFileError, match=r"is in farm\.history-before-2026-10-06\.jsonl; to look further"
    ):
        on(season, 4)


def test_it_takes_twice_as_long_for_twice_the_entries(tmp_path):
    """And not four times, as it would if each step looked at all the others."""
    cost = {}
    for count in (20, 40):
        path = tmp_path / f"{count}.toml"
        path.write_text(TEXT)
        for n in range(count):
            save(path, n, put("T1", n + 1))
        cost[count] = lines_run(lambda path=path: as_it_was_after(path, 1, SITE))
    assert cost[40] < 2.5 * cost[20]


def test_nothing_is_written(season, texts):
    before = {p.name: p.read_bytes() for p in season.parent.iterdir()}
    on(season, 4)
    assert {p.name: p.read_bytes() for p in season.parent.iterdir()} == before
