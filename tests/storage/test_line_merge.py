"""Texts brought together by lines."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.storage.toml.line_merge import left_behind, lines_changed, merged_lines
from calendar_tui.storage.toml.splices import Splice, apply_splices, reverse
from tests.counting import lines_run

BASE = "a\nb\nc\nd\n"
# (ours, theirs, both)
TOGETHER = {
    "apart": ("A\nb\nc\nd\n", "a\nb\nc\nD\n", "A\nb\nc\nD\n"),
    "side by side": ("a\nB\nc\nd\n", "a\nb\nC\nd\n", "a\nB\nC\nd\n"),
    "put in before a line that gave way": ("a\nB\nc\nd\n", "a\nx\nb\nc\nd\n", "a\nx\nB\nc\nd\n"),
    "put in after a line that gave way": ("a\nB\nc\nd\n", "a\nb\nx\nc\nd\n", "a\nB\nx\nc\nd\n"),
    "both put in at one place": ("a\nx\nb\nc\nd\n", "a\ny\nb\nc\nd\n", "a\nx\ny\nb\nc\nd\n"),
    "the same put in": ("a\nx\nb\nc\nd\n", "a\nx\nb\nc\nd\n", "a\nx\nb\nc\nd\n"),
    "one line, two ways": ("a\nB\nc\nd\n", "a\n2\nc\nd\n", "a\nB\nc\nd\n"),
    "put in amid lines taken away": ("a\nd\n", "a\nb\nx\nc\nd\n", "a\nd\n"),
    "taken away around what was put in": ("a\nb\nx\nc\nd\n", "a\nd\n", "a\nb\nx\nc\nd\n"),
    "taken away in part": ("a\nd\n", "a\nb\nd\n", "a\nd\n"),
    "at the end": (BASE + "x\n", BASE + "y", BASE + "x\ny"),
    "all taken away, one put in at the end": ("", "a\nb\nc\nd\nx\n", "x\n"),
}


@pytest.mark.parametrize(("ours", "theirs", "both"), TOGETHER.values(), ids=TOGETHER.keys())
def test_lines_come_together_and_ours_stay_where_they_meet(ours, theirs, both):
    assert merged_lines(BASE, ours, theirs) == both


texts = st.lists(st.sampled_from(["a", "b", "c", "d", "", "\r"]), max_size=12).map("\n".join)
mostly_unique = st.lists(st.integers(0, 30).map(str), max_size=20).map("\n".join)


@settings(deadline=None, max_examples=100)
@given(texts | mostly_unique, texts | mostly_unique)
def test_what_differs_makes_one_text_the_other(one, other):
    changed = lines_changed(one, other)
    assert apply_splices(one, changed) == other
    assert apply_splices(other, reverse(changed)) == one
    assert all(splice.old != splice.new for splice in changed)
    assert (changed == []) == (one == other)
    for base, ours, theirs in ((one, other, one), (one, one, other), (one, other, other)):
        assert merged_lines(base, ours, theirs) == other


@settings(deadline=None, max_examples=100)
@given(texts, texts, texts)
def test_every_line_that_ours_wrote_is_in_the_result(base, ours, theirs):
    both = merged_lines(base, ours, theirs).split("\n")
    for splice in lines_changed(base, ours):
        for line in splice.new:
            both.remove(line)


def test_a_line_of_its_own_keeps_pieces_small_and_moved_lines_are_no_anchors():
    old = "\n".join(f"[t]\nid = {n}\nstate = open\n" for n in range(6))
    new = old.replace("id = 3\nstate = open", "id = 3\nstate = done")
    assert lines_changed(old, new) == [Splice(14, ("state = open",), ("state = done",))]
    assert lines_changed("a\nb\nc\nd", "d\na\nb\nc") == [Splice(0, (), ("d",)), Splice(3, ("d",), ())]


def test_the_work_grows_with_the_text_and_no_faster():
    def work(records):
        base = "\n".join(f"[t]\nid = {n}\ndate = 1\nstate = open\n" for n in range(records))
        ours, theirs = base.replace("date = 1", "date = 2"), base.replace("open", "done")
        return lines_run(lambda: merged_lines(base, ours, theirs))

    assert work(400) < 2.5 * work(200)


def test_long_pieces_without_a_line_of_their_own_are_taken_whole():
    old, new = "a\n" * 700, "b\n" + "a\n" * 300 + "b\n" * 300
    assert apply_splices(old, lines_changed(old, new)) == new
    assert lines_run(lambda: lines_changed(old, new)) < 20_000


def test_comments_of_theirs_that_found_no_place_are_named():
    assert left_behind("a # 1\nb\n", "a # 2\nb\n# new\n  # kept\n", "a # 1\nb\n  # kept\n") == (
        "a # 2",
        "# new",
    )


def test_a_comment_that_stands_behind_another_number_is_not_left_behind():
    base, theirs = "hours = 2  # 0.5 to 1 an acre\n", "hours = 1  # 0.5 to 1 an acre\n"
    assert left_behind(base, theirs, "hours = 3  # 0.5 to 1 an acre\n") == ()
    assert left_behind("hours = 2\n", theirs, base) == ()


def test_a_number_sign_in_quotes_is_no_comment():
    assert left_behind("", 'note = "row #3"\nwhat = \'# "\'\nwho = "a\\"#" # crew\n', "") == (
        'who = "a\\"#" # crew',
    )
