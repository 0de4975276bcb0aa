"""Which words may come next, by the forms of a command's words."""

from __future__ import annotations

import pytest

from calendar_tui.commands.candidates import forms_of
from calendar_tui.commands.table import COMMANDS
from calendar_tui.commands.word_forms import literals_of, next_words, tokens_of

RECORD = "[SEASON] [COHORT ...] STAGE DATE"
STAY = "[SEASON] [COHORT ...] stay PLACE DATE"


def fits(token: str, word: str) -> bool:
    """A season is a file, a cohort begins with A, a bag with K, a stage with s; anything else is no file."""
    begins = {
        "SEASON": word.endswith(".toml"),
        "COHORT": word[:1] == "A",
        "STAGE": word[:1] == "s",
        "BAG": word[:1] == "K",
    }
    return begins.get(token, not word.endswith(".toml"))


@pytest.mark.parametrize(
    ("form", "typed", "expected"),
    [
        (RECORD, "", ["SEASON", "COHORT", "STAGE"]),
        (RECORD, "x.toml", ["COHORT", "STAGE"]),
        (RECORD, "A1", ["COHORT", "STAGE"]),
        (RECORD, "x.toml A1 A2", ["COHORT", "STAGE"]),
        (RECORD, "A1 sowing", ["DATE"]),
        (RECORD, "A1 sowing today", []),
        (RECORD, "B1", []),
        (STAY, "A1 stay", ["PLACE"]),
        (STAY, "A1 sowing", []),
        ("[SEASON] KIND NAME ...", "x.toml cohort A1", ["NAME"]),
        ("[SEASON] KIND NAME [FIELD VALUE ...]", "x.toml cohort A1 plants 90", ["FIELD"]),
        ("[SEASON] KIND NAME [FIELD VALUE ...]", "cohort A1 plants", ["VALUE"]),
        ("[SEASON] [VARIETY [FIGURE VALUE]]", "", ["SEASON", "VARIETY"]),
        ("[SEASON] [VARIETY [FIGURE VALUE]]", "x.toml amber", ["FIGURE"]),
        ("[LOT ... [STEP [DATE]]]", "l1 l2", ["LOT", "STEP", "DATE"]),
        ("BAG ... lost|taken", "K7Q", ["BAG", "lost|taken"]),
        ("BAG ... lost|taken", "K7Q LOST", []),
        ("", "", []),
    ],
)
def test_the_words_that_may_come_next(form: str, typed: str, expected: list[str]) -> None:
    assert next_words(form, typed.split(), fits) == expected


def test_a_word_in_small_letters_is_itself() -> None:
    assert literals_of("lost|taken") == ["lost", "taken"]
    assert literals_of("hold|shift|DATE") == ["hold", "shift"]
    assert literals_of("COHORT") == literals_of("1.5x0.6") == literals_of("N,N") == []


def test_the_brackets_of_every_form_close_and_nothing_needed_stands_in_them() -> None:
    for name in COMMANDS:
        for form in forms_of(name):
            assert form.count("[") == form.count("]"), name
            tokens = tokens_of(form)
            assert all("[" not in token.word and "]" not in token.word for token in tokens), name
            assert not any(token.word.startswith("-") for token in tokens), name


def test_flags_and_what_they_take_are_no_words_of_a_form() -> None:
    assert forms_of("")[0].split() == ["[SEASON]"]
    assert [form.split() for form in forms_of("stagger")] == [["[SEASON]", "..."]]
    assert [" ".join(form.split()) for form in forms_of("chart")] == ["[SEASON]"]
    assert "[SEASON] [CHORE ...]" in [" ".join(form.split()) for form in forms_of("chores")]


def test_the_kinds_of_load_are_those_that_are_worked_out() -> None:
    from calendar_tui.planning.capacity.by_week import KINDS

    assert f"[{'|'.join(KINDS)} ...]" in forms_of("load")[0]
