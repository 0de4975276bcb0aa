"""What putting a week into Spanish takes, counted: each text is looked through once, and few phrases are tried on it."""

from __future__ import annotations

from datetime import date

import pytest

from calendar_tui.language import catalogue, speaking
from calendar_tui.language.speaking import translated
from calendar_tui.storage.languages import SHIPPED


@pytest.fixture
def spanish() -> catalogue.Catalogue:
    """As a command loads it: nothing is kept of other tests."""
    catalogue._pattern.cache_clear()
    speaking._translated.cache_clear()
    return catalogue.read_catalogue("es", (SHIPPED / "es.po").read_text(encoding="utf-8"))


def test_a_text_that_stands_many_times_is_looked_through_once(spanish: catalogue.Catalogue) -> None:
    days = [f"late since {day:%a} {day.day} {day:%b}" for day in map(date.fromordinal, range(740000, 740003))]
    with speaking.speaking(spanish):
        for text in days * 1000:
            translated(text)
    info = speaking._translated.cache_info()
    assert info.hits > 2900
    assert info.misses < 20


def test_of_the_phrases_few_are_made_a_pattern(spanish: catalogue.Catalogue) -> None:
    """A pattern takes long to make, and a command of one page needs a handful."""
    with speaking.speaking(spanish):
        translated("H2 closed until Wed 9 Dec 05:15")
    assert 0 < catalogue._pattern.cache_info().currsize < len(spanish._known) / 10
