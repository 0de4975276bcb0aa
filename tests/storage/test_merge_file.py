"""Three versions of a season file made one: what becomes of the text, of the history, and of files that do not fit."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_any_season import edits_on, key_lines, lost, seasons
from three_versions import (
    BASE,
    NOTE,
    OURS,
    SEEDED,
    THEIRS,
    WHEN,
    brought_together,
    no_names,
    not_laid_out,
    swap,
)

from calendar_tui.season.edits import Change, Edit, apply_edits
from calendar_tui.season.merging import differences, merge
from calendar_tui.season.sameness import same
from calendar_tui.storage.history.undo import read_history, undo_last
from calendar_tui.storage.merge_file import merged, write_merged
from calendar_tui.storage.opening import season_problems
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import Loaded, load, save_change
from calendar_tui.storage.toml.splice import spliced
from calendar_tui.storage.toml.splices import apply_splices
from tests.season_data import data_of


@pytest.fixture
def three(tmp_path):
    return partial(brought_together, tmp_path)


def test_the_lines_that_one_side_changed_come_together(three):
    _, found = three(OURS, THEIRS)
    assert found.conflicts == found.problems == found.left_behind == ()
    assert found.reads
    assert found.made.text == swap(
        THEIRS, "plants = 120   # counted", "plants = 118   # counted twice", "# --- cohorts", "# --- ours"
    )
    assert apply_splices(OURS, found.made.splices) == found.made.text


def test_records_that_both_put_at_one_place_stand_one_after_the_other_with_their_comments(three):
    b1, b2 = (
        f'\n# {name}\n[[cohort]]\nid = "{name}"\nvariety = "amber"\nstart = "seed"\nplace = "F1"\n'
        "planned = { seeding = 2026-11-01 } # mine\n"
        for name in ("B1", "B2")
    )
    _, found = three(BASE + b1, BASE + b2)
    assert found.made.text == BASE + b1 + b2


def test_where_the_lines_meet_ours_stay_and_the_fields_still_come(three):
    """Both write into one line, each another field."""
    ours = swap(BASE, "{ seeding = 2026-10-19 } # later", "{ seeding = 2026-10-20 } # ours")
    theirs = swap(
        BASE, "{ seeding = 2026-10-19 } # later", "{ seeding = 2026-10-19, harvest = 2027-02-01 } # two"
    )
    _, found = three("# top\n" + ours, theirs.replace('kind = "field"   # by', 'kind = "nursery"  # at'))
    assert found.made.text == "# top\n" + swap(
        BASE,
        "{ seeding = 2026-10-19 } # later",
        "{ seeding = 2026-10-20, harvest = 2027-02-01 } # ours",
        'kind = "field"   # by',
        'kind = "nursery"  # at',
    )
    assert found.left_behind == ("planned = { seeding = 2026-10-19, harvest = 2027-02-01 } # two",)


def test_where_the_lines_do_not_fit_together_the_edits_alone_come(three):
    """Both add one record, in other words: the lines would have it twice."""
    record = '\n[[place]]\nid = "G1"\n{}kind = "greenhouse"\n'
    _, found = three(BASE + record.format(""), BASE + record.format("# theirs\n") + "\n# end\n")
    assert found.conflicts == ()
    assert found.made.text == BASE + record.format("")
    assert found.left_behind == ("# theirs", "# end")


def test_a_copy_that_is_still_the_base_takes_theirs_whole(three):
    theirs = "# a new heading\n" + swap(THEIRS, "# --- cohorts\n", "")
    _, found = three(BASE, theirs)
    assert found.made.text == theirs
    assert same(found.made.data, data_of(theirs))
    assert {e.field for e in found.made.edits} == {("recorded",), ("note",), ("kind",)}


def test_comments_alone_that_ours_wrote_stay(three):
    _, found = three(BASE.replace("# --- cohorts", "# --- ours"), THEIRS)
    assert "# --- ours\n" in found.made.text
    assert found.made.data == data_of(THEIRS)


def test_where_theirs_is_still_the_base_ours_stays(three):
    ours, found = three(OURS, BASE)
    assert found.made.text == OURS
    assert found.made.edits == ()
    before = ours.path.stat().st_mtime_ns
    write_merged(ours, found.made, NOTE)
    assert ours.path.stat().st_mtime_ns == before
    assert read_history(ours.path).entries == ()


@pytest.mark.parametrize("ours_text", [OURS, BASE], ids=["edits", "theirs whole"])
def test_the_merge_is_a_change_in_the_history_and_can_be_undone(three, ours_text):
    ours, found = three(ours_text, THEIRS)
    write_merged(ours, found.made, NOTE)
    assert ours.path.read_text() == found.made.text
    (entry,) = read_history(ours.path).entries
    assert (entry.n, entry.what, entry.who, entry.when) == (1, "merge of theirs.toml", "ana", WHEN)
    undone = undo_last(ours.path, who="ben", when=WHEN, check=season_problems)
    assert undone.exact
    assert ours.path.read_text() == ours_text


@pytest.mark.parametrize("ours_text", [OURS, BASE], ids=["edits", "theirs whole"])
def test_after_an_edit_by_hand_undo_takes_back_the_merged_fields_alone(three, ours_text):
    ours, found = three(ours_text, THEIRS)
    write_merged(ours, found.made, NOTE)
    ours.path.write_text("# by hand\n" + ours.path.read_text())
    assert not undo_last(ours.path, who="ben", when=WHEN, check=season_problems).exact
    assert same(load(ours.path).data, data_of(ours_text))
    assert ours.path.read_text().startswith("# by hand\n")


def counted(plants):
    return Change(f"A1 counted {plants}", (Edit("set", "cohort", ("A1",), ("plants",), plants),))


def test_undo_after_another_program_merged_takes_back_ones_own_change_and_leaves_theirs(three, tmp_path):
    season = tmp_path / "farm.toml"
    season.write_text(BASE)
    save_change(season, counted(118), who="ana", when=WHEN)
    _, found = three(season.read_text(), THEIRS)
    season.write_text(found.made.text)  # as git does, which writes no history
    undone = undo_last(season, who="ana", when=WHEN, check=season_problems)
    assert ([c.what for c in undone.changes], undone.exact) == (["A1 counted 118"], False)
    assert same(load(season).data, data_of(THEIRS))


def test_undo_is_refused_where_the_merge_gave_the_field_another_value(three, tmp_path):
    season = tmp_path / "farm.toml"
    season.write_text(BASE)
    save_change(season, counted(118), who="ana", when=WHEN)
    text = swap(season.read_text(), "plants = 118", "plants = 117")
    season.write_text(text)
    with pytest.raises(SeasonFileError, match="cohort A1 plants was edited since"):
        undo_last(season, who="ana", when=WHEN, check=season_problems)
    assert season.read_text() == text


def test_a_merge_that_was_given_up_leaves_the_history_as_it_was(three, tmp_path):
    """Git puts the old file back: the change before it is the one to undo."""
    season = tmp_path / "farm.toml"
    season.write_text(BASE)
    save_change(season, counted(118), who="ana", when=WHEN)
    before = season.read_text()
    _, found = three(before, THEIRS)
    season.write_text(found.made.text)
    season.write_text(before)
    assert undo_last(season, who="ana", when=WHEN).exact
    assert season.read_text() == BASE


# Two copies that read well each, and together do not: (ours, theirs, words of the problem)
TOGETHER = {
    "the place of a new cohort": (
        BASE + '\n[[cohort]]\nid = "B1"\nvariety = "amber"\nstart = "seed"\nplace = "F2"\n'
        "planned = { seeding = 2026-11-01 }\n",
        swap(BASE, '[[place]]\nid = "F2"\nkind = "field"   # by the river\n\n', ""),
        'cohort B1: place "F2" is not a place of this season',
    ),
    "dates out of order": (
        swap(BASE, "planned = { seeding = 2026-10-05 }\n", SEEDED),
        swap(
            BASE,
            "planned = { seeding = 2026-10-05 }\n",
            "planned = { seeding = 2026-10-05 }\nrecorded = { emergence = 2026-10-05 }\n",
        ),
        "emergence on 2026-10-05 is before seeding on 2026-10-06",
    ),
    "a date outside the season": (
        swap(BASE, "last_day = 2027-05-15", "last_day = 2027-03-31"),
        swap(BASE, "{ seeding = 2026-10-19 }", "{ seeding = 2026-10-19, harvest = 2027-04-02 }"),
        "harvest on 2027-04-02 is outside the season",
    ),
}


@pytest.mark.parametrize(("ours", "theirs", "words"), TOGETHER.values(), ids=TOGETHER.keys())
def test_what_only_the_two_together_make_wrong_is_told(three, ours, theirs, words):
    for text in (ours, theirs):
        assert season_problems(data_of(text)) == ()
    for one, two in ((ours, theirs), (theirs, ours)):
        _, found = three(one, two)
        assert found.conflicts == ()
        assert not found.reads
        assert any(words in p.message for p in found.problems)


def test_a_problem_that_ours_had_before_is_not_the_merges(three):
    wrong = swap(OURS, 'response = "short-day"', 'response = "sometimes"')
    _, found = three(wrong, THEIRS)
    assert found.problems == ()
    assert not found.reads
    _, found = three(OURS, swap(THEIRS, 'response = "short-day"', 'response = "sometimes"'))
    assert [p.path for p in found.problems] == [("variety", 0, "response")]


def test_without_a_base_the_same_records_are_one_and_others_are_told(three):
    _, found = three(OURS, THEIRS, base="")
    assert [(c.ident, c.field) for c in found.conflicts] == [(("F2",), ("kind",)), (("A1",), ("plants",))]
    assert found.made.data["cohort"][1]["note"] == "sandy"


ELSEWHERE = (
    swap(BASE, '"Two Rivers"', '"Far Hill"', "-34.3", "51.5", "-56.7", "5.5")
    .replace('"A1"', '"C1"')
    .replace('"A2"', '"C2"')
)
# Versions that are not to be merged: (base, ours, theirs, words)
UNLIKE = {
    "another season": (
        BASE,
        OURS,
        ELSEWHERE,
        "theirs.toml: not merged: this is another season than .*ours.toml",
    ),
    "a base of another season": (ELSEWHERE, OURS, THEIRS, "base.toml: not merged: this is another season"),
    "a newer format": (BASE, OURS, swap(THEIRS, "format = 3", "format = 4"), "get a newer program"),
    "no format": (BASE, OURS, swap(THEIRS, "format = 3", ""), "write format = 3 at its top"),
    "not a season": (BASE, OURS, "x = 1\n", r"theirs.toml: not merged: there is no \[season\] in it"),
    "ours is empty": (BASE, "", THEIRS, r"ours.toml: not merged: there is no \[season\] in it"),
    "records in one inline list": (
        BASE,
        BASE.replace("\n[season]", "draft = []\n\n[season]"),
        BASE + '\n[[draft]]\nid = "t1"\n',
        r"write each record under \[\[draft\]\]",
    ),
}


@pytest.mark.parametrize(("base", "ours", "theirs", "words"), UNLIKE.values(), ids=UNLIKE.keys())
def test_what_cannot_be_merged_is_refused(three, base, ours, theirs, words):
    with pytest.raises(SeasonFileError, match=words):
        three(ours, theirs, base)


@pytest.mark.parametrize(
    "change",
    [
        ('"Two Rivers"', '"Two Rivers, west"'),
        ("-34.3", "-34.31"),
        ("-34.3", "-34.31", '"Two Rivers"', '"West"'),
    ],
    ids=["renamed", "moved", "both, with a cohort in common"],
)
def test_a_season_renamed_or_corrected_is_still_the_same(three, change):
    _, found = three(OURS, swap(THEIRS, *change))
    assert found.conflicts == ()


@pytest.mark.slow
@settings(deadline=None, max_examples=50)
@given(st.data())
def test_any_two_texts_come_together_as_their_fields_do(data):
    text = data.draw(seasons()).replace("[season]", '[season]\nname = "x"', 1)
    base = data_of(text)
    ours = spliced(text, base, data.draw(edits_on(base, 1)))
    theirs = spliced(text, base, data.draw(edits_on(base, 2)))
    sides = [Loaded(Path(f"{n}.toml"), t, data_of(t)) for n, t in enumerate((text, ours.text, theirs.text))]
    try:
        made = merged(*sides, no_names, not_laid_out).made
    except SeasonFileError:  # a name that one side took away, or a form that takes no record
        return
    found = merge(*(side.data for side in sides), no_names)
    wanted = apply_edits(ours.data, found.edits)
    assert differences(made.data, wanted) == differences(wanted, made.data) == ()
    assert same(data_of(made.text), made.data)
    assert apply_splices(ours.text, made.splices) == made.text
    named = {(e.kind, *e.ident) for e in found.edits}
    spared = [
        kept
        for kind in ("task", "cohort", "place")
        for i, record in enumerate(ours.data.get(kind, []))
        if (kind, record["id"]) not in named
        for kept in key_lines(ours.text, (kind, i))
    ]
    assert not lost(spared, made.text)
