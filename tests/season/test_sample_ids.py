"""Ids of sample bags. Expected check signs and the share of errors that are caught: computed, on 20,000 tries each."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.season.readers import Unreadable
from calendar_tui.season.sample_ids import (
    _MISTAKEN,
    ALPHABET,
    SIGNS,
    check_sign,
    grouped,
    is_sound,
    nearest_ids,
    next_sample_id,
    plain_id,
    read_sample_id,
)

BODIES = st.text(alphabet=ALPHABET, min_size=1, max_size=12)


def sound(body):
    return body + check_sign(body)


@pytest.mark.parametrize(("body", "check"), [("A1T07", "Q"), ("26A1T", "A"), ("K7Q2R", "Y"), ("00000", "0")])
def test_check_signs(body, check):
    """Damm over 32 signs (computed)."""
    assert check_sign(body) == check
    assert is_sound(body + check)


def test_the_alphabet_has_no_letters_that_look_like_others():
    assert len(ALPHABET) == len(set(ALPHABET)) == 32
    assert not set("ILOU") & set(ALPHABET)


# --- errors


@given(BODIES, st.data())
def test_every_single_wrong_sign_is_caught(body, data):
    name = sound(body)
    at = data.draw(st.integers(0, len(name) - 1))
    sign = data.draw(st.sampled_from(ALPHABET.replace(name[at], "")))
    assert not is_sound(name[:at] + sign + name[at + 1 :])


@given(BODIES, st.data())
def test_every_swap_of_neighbours_is_caught(body, data):
    name = sound(body)
    at = data.draw(st.integers(0, len(name) - 2))
    swapped = name[:at] + name[at + 1] + name[at] + name[at + 2 :]
    assert swapped == name or not is_sound(swapped)


def _tries(change):
    """The share of errors of one kind that the check catches, over 20,000 ids of five signs and their check."""
    drawn, caught, made = Random(7), 0, 0
    while made < 20_000:
        name = sound("".join(drawn.choices(ALPHABET, k=5)))
        wrong = change(name, drawn)
        if wrong != name:
            made += 1
            caught += not is_sound(wrong)
    return 100 * caught / made


def _jump(name, drawn):
    at = drawn.randrange(len(name) - 2)
    return name[:at] + name[at + 2] + name[at + 1] + name[at] + name[at + 3 :]


def test_every_swap_over_one_sign_is_caught():
    """100 % (computed)."""
    assert _tries(_jump) == 100


@given(BODIES, st.data())
def test_every_twin_is_caught(body, data):
    """aa written as bb: d x (2 + 1) in the field is nothing only where d is (algebra)."""
    one, other = data.draw(st.permutations(ALPHABET))[:2]
    name = sound(body + one * 2 + "7")
    assert not is_sound(name.replace(body + one * 2, body + other * 2))


def _two_others(name, drawn):
    at = drawn.randrange(len(name) - 1)
    pair = drawn.choice(
        [a + b for a in ALPHABET.replace(name[at], "") for b in ALPHABET.replace(name[at + 1], "")]
    )
    return name[:at] + pair + name[at + 2 :]


@pytest.mark.slow
def test_two_wrong_signs_side_by_side_are_caught_as_often_as_chance_allows():
    """31 of 32, 96.9 % (computed)."""
    assert _tries(_two_others) == pytest.approx(96.9, abs=0.5)


# --- as it is typed


@pytest.mark.parametrize(
    "typed",
    ["A1T07Q", "a1t07q", " A1T-07Q ", "A1T 07Q", "AIT07Q", "alt07q", "A1TO7Q", "ait-o7q", "A1T–07Q"],
)
def test_what_is_typed_is_read_as_it_is_meant(typed):
    assert read_sample_id(typed) == "A1T07Q"


@given(BODIES)
def test_an_id_is_read_back_as_it_is_printed(body):
    assert read_sample_id(grouped(sound(body))) == sound(body)
    assert read_sample_id(grouped(sound(body)).lower()) == sound(body)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("A1T07R", "its last sign does not fit the others; near it in this season: A1T-07Q"),
        ("1AT07Q", "near it in this season: A1T-07Q"),
        ("A1T0?Q", 'has "?", which no sample id has; near it in this season: A1T-07Q'),
        ("U1T07Q", 'has "U", which no sample id has; near it'),
        ("A1T07", "its last sign does not fit the others; look at the label again"),
        ("", "is too short for a sample id"),
        ("0", "is too short for a sample id"),
        ("٣1T07Q", "which no sample id has"),
    ],
)
def test_what_is_no_id_is_refused_with_those_near_it(typed, words):
    with pytest.raises(Unreadable) as refused:
        read_sample_id(typed, ("A1T07Q", "K7Q2RY"))
    assert words in str(refused.value)


def test_the_nearest_ids_are_one_slip_away():
    known = ("A1T07Q", "K7Q2RY", "26A1TA")
    assert nearest_ids("K7Q2RX", known) == ("K7Q2RY",)
    assert nearest_ids("K7QR2Y", known) == ("K7Q2RY",)
    assert nearest_ids("K7R2QY", known) == ()
    assert nearest_ids("K7Q2R", known) == ()
    assert nearest_ids("k7q-2ry", known) == ()


@given(BODIES, st.data())
def test_a_slip_of_one_sign_finds_its_id(body, data):
    name = sound(body)
    at = data.draw(st.integers(0, len(name) - 1))
    sign = data.draw(st.sampled_from(ALPHABET.replace(name[at], "")))
    assert nearest_ids(name[:at] + sign + name[at + 1 :], [name]) == (name,)


def test_the_letters_for_reading_aloud():
    assert grouped("K7Q2RY") == "K7Q-2RY"
    assert plain_id("k7q-2ry") == "K7Q2RY"


# --- new ones


def bag(number, who="crew"):
    return ("Two Rivers 2026-27", "A1", "top", "2027-01-12", str(number), who)


def test_the_same_bag_has_the_same_id_in_two_copies_of_a_season():
    assert next_sample_id(bag(1), ()) == next_sample_id(bag(1), ())
    assert next_sample_id(bag(1), ()) != next_sample_id(bag(2), ())


def test_two_people_out_of_reach_have_ids_of_their_own():
    ids = [{next_sample_id(bag(n, who), ()) for n in range(500)} for who in ("ana", "ben")]
    assert len(ids[0]) == len(ids[1]) == 500
    assert not ids[0] & ids[1]


def test_an_id_that_is_taken_is_not_given_again():
    taken = set()
    for _ in range(200):
        taken.add(next_sample_id(bag(1), taken))
    assert len(taken) == 200
    assert all(is_sound(name) and len(name) == SIGNS + 1 for name in taken)


def test_ids_run_out_once_all_that_a_spreadsheet_leaves_alone_are_given():
    left = {name for name in map(sound, ALPHABET) if not _MISTAKEN.fullmatch(name)}
    taken = set()
    while len(taken) < len(left):
        taken.add(next_sample_id(bag(1), taken, signs=1))
    assert taken == left
    with pytest.raises(ValueError, match="all ids of 1 signs are taken; make them longer"):
        next_sample_id(bag(1), taken, signs=1)


@pytest.mark.parametrize("signs", [0, 16])
def test_a_length_that_no_label_takes_is_refused(signs):
    with pytest.raises(ValueError, match="from 1 to 15, and 5 are usual"):
        next_sample_id(bag(1), (), signs)


def test_no_id_is_what_a_spreadsheet_takes_for_a_number_or_a_date():
    for mistaken in ("012345", "12E456", "SEP123", "12MAR4", "1DEC27", "E12345"):
        assert _MISTAKEN.fullmatch(mistaken)
    for name in ("K7Q2RY", "A1T07Q", "SEPT12", "1E2E34"):
        assert not _MISTAKEN.fullmatch(name)
    names = [next_sample_id(bag(n), ()) for n in range(3000)]
    assert not [name for name in names if _MISTAKEN.fullmatch(name)]
