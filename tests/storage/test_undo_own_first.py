"""Two people on one season: undo takes one's own change, also below another's newer one, and never another's by chance."""

from datetime import UTC, datetime, timedelta

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import read_history, take_back
from calendar_tui.storage.history.undo_choice import newest, numbered, own_first
from calendar_tui.storage.problems import NothingToUndo, SeasonFileError
from calendar_tui.storage.season_file import save_change

TEXT = """\
[[cohort]]
id = "A1"
plants = 10
rows = 1

[[cohort]]
id = "A2"   # beside the door
plants = 20
"""
NOW = datetime(2026, 12, 8, 12, tzinfo=UTC)


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two-rivers.toml"
    path.write_text(TEXT)
    return path


def put(cohort, key, value):
    return Edit("set", "cohort", (cohort,), (key,), value)


def save(path, who, what, *edits, ago=timedelta(hours=2)):
    return save_change(path, Change(what, edits), who=who, when=NOW - ago).n


def take(path, who, way="undo", steps=1, choose=None):
    """Take back or bring back what this person would, without being asked."""
    return take_back(path, way, choose or own_first(way, steps, who, NOW), who=who, when=NOW)


def named(undone):
    return [(change.n, change.who) for change in undone.changes]


def chosen(path, who, way="undo", steps=1):
    return [(s.n, s.who) for s in own_first(way, steps, who, NOW).pick(path, read_history(path))]


def test_ones_own_change_is_taken_though_another_person_saved_after_it(season):
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11))
    save(season, "ben", "A2 22 plants", put("A2", "plants", 22), ago=timedelta(hours=1))
    undone = take(season, "ana")
    assert named(undone) == [(1, "ana")]
    assert [(s.n, s.who, s.what) for s in undone.over] == [(2, "ben", "A2 22 plants")]
    assert season.read_text() == TEXT.replace("plants = 20", "plants = 22")


def test_another_persons_change_comes_only_after_all_of_ones_own(season):
    save(season, "ben", "A2 22 plants", put("A2", "plants", 22))
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11))
    save(season, "ana", "A1 2 rows", put("A1", "rows", 2))
    save(season, "ben", "A2 5 rows", put("A2", "rows", 5))
    assert chosen(season, "ana", steps=4) == [(3, "ana"), (2, "ana"), (4, "ben"), (1, "ben")]
    assert chosen(season, "cleo") == [(4, "ben")]


def test_of_ones_own_changes_below_another_persons_only_those_of_the_last_day_come_first(season):
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11), ago=timedelta(days=20))
    save(season, "ben", "A2 22 plants", put("A2", "plants", 22))
    assert chosen(season, "ana") == [(2, "ben")]
    assert chosen(season, "ana", steps=2) == [(2, "ben"), (1, "ana")]


def test_the_change_in_the_way_is_named_with_the_field(season):
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11))
    save(season, "ben", "A1 thinned", put("A1", "plants", 9))
    before = season.read_bytes()
    words = (
        r"change 1 \(A1 11 plants\) cannot be undone: change 2 of ben \(A1 thinned\) is newer and touches "
        r"cohort A1 plants too"
    )
    with pytest.raises(SeasonFileError, match=words):
        take(season, "ana")
    assert season.read_bytes() == before


def test_a_record_that_another_person_has_worked_on_since_is_not_taken_away(season):
    save(season, "ana", "A3 added", Edit("add", "cohort", ("A3",), (), {"id": "A3", "plants": 5}))
    save(season, "ben", "A3 6 rows", put("A3", "rows", 6))
    with pytest.raises(
        SeasonFileError, match=r"change 2 of ben \(A3 6 rows\) is newer and touches cohort A3"
    ):
        take(season, "ana")


def test_a_value_that_is_the_same_again_still_is_another_persons_word(season):
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11))
    save(season, "ben", "A1 9 plants", put("A1", "plants", 9))
    save(season, "ben", "A1 11 plants again", put("A1", "plants", 11))
    with pytest.raises(SeasonFileError, match="change 3 of ben"):
        take(season, "ana", choose=numbered("undo", [1]))


def test_where_the_one_in_the_way_is_undone_it_is_in_the_way_no_more(season):
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11))
    save(season, "ben", "A1 9 plants", put("A1", "plants", 9))
    take(season, "ben")
    assert named(take(season, "ana")) == [(1, "ana")]
    assert season.read_text() == TEXT


def test_redo_brings_back_what_one_has_undone_oneself_also_over_another_persons_change(season):
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11))
    take(season, "ana")
    save(season, "ben", "A2 22 plants", put("A2", "plants", 22))
    redone = take(season, "ana", "redo")
    assert named(redone) == [(1, "ana")]
    assert [s.n for s in redone.over] == [3]
    assert season.read_text() == TEXT.replace("= 20", "= 22").replace("= 10", "= 11")


def test_what_another_person_has_undone_is_that_persons_to_bring_back(season):
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11))
    take_back(season, "undo", newest("undo", 1), who="ben", when=NOW - timedelta(minutes=5))
    (standing,) = own_first("redo", 1, "ana", NOW).pick(season, read_history(season))
    assert (standing.n, standing.who, standing.when) == (1, "ben", NOW - timedelta(minutes=5))


def test_a_redo_is_not_laid_over_what_came_after_the_undo(season):
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11))
    take(season, "ana")
    save(season, "ben", "A1 9 plants", put("A1", "plants", 9))
    with pytest.raises(SeasonFileError, match=r"cannot be redone: change 3 of ben \(A1 9 plants\) is newer"):
        take(season, "ana", "redo")


def test_ones_own_new_change_ends_what_one_can_redo(season):
    save(season, "ana", "A1 11 plants", put("A1", "plants", 11))
    take(season, "ana")
    save(season, "ana", "A2 22 plants", put("A2", "plants", 22))
    with pytest.raises(NothingToUndo):
        chosen(season, "ana", "redo")


def test_a_change_that_somebody_takes_back_while_one_is_asked_is_not_taken_twice(season):
    save(season, "ben", "A1 11 plants", put("A1", "plants", 11))
    take(season, "ben")
    before = season.read_bytes()
    with pytest.raises(SeasonFileError, match=r"change 1 \(A1 11 plants\) does not stand any more"):
        take(season, "ana", choose=numbered("undo", [1], ["A1 11 plants"]))
    assert season.read_bytes() == before
