"""Levels that whole places get: drawn among the places by the shuffle of the plots, as evenly as they go."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.layouts.shuffle import draws, shuffled
from calendar_tui.nature.layouts.whole_places import dealt

PLACES = ("H1", "H2", "H3", "H4")


def test_places_are_shuffled_and_dealt_in_turn():
    order = shuffled(PLACES, draws(20261212))
    assert dealt(("lit", "dark"), PLACES, 20261212) == {
        "lit": (order[0], order[2]),
        "dark": (order[1], order[3]),
    }


@pytest.mark.slow
@given(seed=st.integers(0, 10**9), levels=st.integers(2, 4), places=st.integers(4, 9))
def test_every_place_gets_one_level_and_levels_differ_by_one_place_at_most(seed, levels, places):
    names = [f"H{n}" for n in range(places)]
    given_to = dealt([f"L{n}" for n in range(levels)], names, seed)
    assert sorted(name for held in given_to.values() for name in held) == names
    counts = [len(held) for held in given_to.values()]
    assert max(counts) - min(counts) <= 1
    assert given_to == dealt([f"L{n}" for n in range(levels)], names, seed)


def test_over_many_seeds_each_place_is_lit_as_often():
    lit = Counter(name for seed in range(1000) for name in dealt(("lit", "dark"), PLACES, seed)["lit"])
    assert set(lit) == set(PLACES)
    # 500 each, give or take four standard deviations of a binomial of 1000 at a half.
    assert all(abs(count - 500) < 64 for count in lit.values()), lit


@pytest.mark.parametrize(
    ("levels", "places", "message"),
    [
        (("lit", "dark"), ("H1",), "1 places for 2 levels; there must be 2 levels or more, and a place for"),
        (("lit",), PLACES, "4 places for 1 levels"),
        (("lit", "dark"), ("H1", "H1"), '"H1" stands there twice; name each place once'),
        (("lit", "lit"), PLACES, '"lit" stands there twice; name each level once'),
    ],
)
def test_what_cannot_be_dealt_is_refused(levels, places, message):
    with pytest.raises(ValueError, match=message):
        dealt(levels, places, 1)
