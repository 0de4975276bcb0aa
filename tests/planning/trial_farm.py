"""A small farm with a trial that is to be drawn."""

from __future__ import annotations

from copy import deepcopy
from datetime import date

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from tests.planning.farm import FARM, TODAY, season_of

TRIAL = {
    "id": "K1",
    "design": "split plot",
    "factors": {"date": ["2027-01-04", "2027-01-18"], "variety": ["amber", "plain"]},
    "blocks": 3,
    "place": "F1",
    "nursery": "N1",
    "spacing_m": [1.5, 0.6],
    "cv": 10,
    "seed": 20261208,
}


def without(*keys):
    """The trial without some of its keys."""
    return {key: value for key, value in TRIAL.items() if key not in keys}


def held(trial=TRIAL, **more):
    """The farm with a trial, as it is held open. more: further kinds of record, in place of the farm's."""
    data = {**deepcopy(FARM), "format": 3, "trial": [deepcopy(trial)], **more}
    return opened(data)


def opened(data):
    """Data as they are held open."""
    return HeldSeason(make_plan(season_of(data), TODAY), data)


def saved(was, proposal):
    """The farm once a proposal is saved."""
    return opened(apply_edits(was.data, proposal.change.edits))


def cohort(name, variety="amber", planted=date(2027, 1, 4), **more):
    """A cohort that is transplanted into the field on a day."""
    base = {"id": name, "variety": variety, "start": "seed", "nursery": "N1", "place": "F1"}
    return base | {"planned": {"seeding": date(2026, 12, 10), "transplant": planted}} | more
