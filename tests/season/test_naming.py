"""Names for new records."""

from calendar_tui.season.naming import next_names


def test_the_next_free_names_stand_behind_one_in_any_case_of_letters():
    assert next_names("B3", ["B3", "b4"], 2) == ("B5", "B6")
    assert next_names("amber", []) == ("amber-2",)


def test_no_name_is_given_where_none_is_needed():
    """It ends, and does not look for names for ever."""
    assert next_names("K1-0", ["K1-1"], 0) == ()
