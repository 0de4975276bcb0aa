"""Rule profiles in words: what each sets, which holds for which lot, and that the authority is to be asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.plain_text import hanging, wrapped
from calendar_tui.season.lots import lots_of, rules_for, rules_reason
from calendar_tui.season.records import Season
from calendar_tui.season.rules import MEAN_OF_VARIETY, NOT_SET, Profile
from calendar_tui.season.wording import year_day_text


def rules_text(season: Season, today: date, shipped: Mapping[str, Profile]) -> Iterator[str]:
    """The season's profiles, the profile of each lot today, and those that come with the program."""
    yield f"Rules in {season.name}"
    for profile in season.profiles.values():
        yield from profile_lines(profile)
    if not season.profiles:
        yield "  none yet; take one in by its name, such as: calendar-tui rules us"
    yield ""
    yield f"Lots on {year_day_text(today)}"
    for lot in lots_of(season):
        variety = season.cohorts[lot.cohort].variety
        named = lot.id if lot.id == lot.cohort else f"{lot.id} of {lot.cohort}"
        held = rules_for(season, lot, today)
        by = "no rules" if held is None else held.citation
        yield from wrapped(
            f"{named} ({variety}): {by}; {rules_reason(season, lot, today)}", "      ", first="  "
        )
    yield ""
    yield "Coming with the program"
    yield from _shipped_lines(season, shipped.values())
    yield from hanging(cautions("aid", "rules"))


def _shipped_lines(season: Season, shipped: Iterable[Profile]) -> Iterator[str]:
    for profile in shipped:
        own = "; the season has its own" if profile.id in season.profiles else ""
        yield from wrapped(f"{profile.id}: {profile.citation}{own}", "      ", first="  ")


def profile_lines(profile: Profile) -> Iterator[str]:
    """One profile as the texts below, wrapped."""
    citation, *rest = profile_texts(profile)
    yield from wrapped(citation, "      ", first="  ")
    for text in rest:
        yield from wrapped(text, "        ", first="      ")


def profile_texts(profile: Profile) -> Iterator[str]:
    """One profile: its citation, what it sets and what it does not, its source and cautions."""
    yield f"{profile.id}: {profile.citation}"
    yield from profile_facts(profile)
    if profile.source:
        yield f"source: {profile.source}"
    if profile.caution:
        yield profile.caution


def profile_facts(profile: Profile) -> Iterator[str]:
    """What a profile sets, each a part of a sentence; what is missing is named as not set."""
    limit = NOT_SET if profile.limit is None else f"{profile.limit} %"
    factor = NOT_SET if profile.acid_factor is None else str(profile.acid_factor)
    yield f"limit of {profile.analyte}: {limit}, {profile.basis}; acid factor: {factor}"
    yield f"measurement uncertainty: {profile.uncertainty}; judged: {profile.judged}{_decimals(profile)}"
    if profile.sampling == "none":
        yield "no official sample of a lot"
    windows = (
        ("official sample at most {} d before the expected harvest", profile.sample_before_harvest_d),
        ("harvest complete within {} d after the official sample", profile.harvest_within_d),
        ("official sample from {} d after flowering starts", profile.sample_from_flowering_start_d),
        ("official sample to {} d after flowering ends", profile.sample_to_flowering_end_d),
        ("records kept {} years", profile.keep_years),
    )
    set_ones = [text.format(figure) for text, figure in windows if figure is not None]
    yield "; ".join(set_ones) if set_ones else "windows: not set"
    if profile.negligence is not None:
        yield f"negligence line: {profile.negligence} %"
    if profile.after_failure:
        yield f"over the limit it allows: {'; '.join(profile.after_failure)}"
    if profile.starts is not None:
        yield f"holds from {year_day_text(profile.starts)}"


def _decimals(profile: Profile) -> str:
    if profile.judged != MEAN_OF_VARIETY or profile.decimals is None:
        return ""
    return f", each sample and the mean with {profile.decimals} decimals"
