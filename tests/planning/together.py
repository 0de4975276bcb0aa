"""The small farm with chores that its cohorts have together, planned and saved."""

from datetime import timedelta

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from tests.planning.farm import TODAY, farm_data, season_of


def plan_of(*chores, later=0, crew=None):
    """The farm with these chores; cohort C1 is planted so many days later than F1."""
    data = farm_data()
    data["chore"] = list(chores)
    planned = data["cohort"][2]["planned"]
    planned["transplant"] += timedelta(days=later)
    if crew:
        data["crew"] = crew
    return data, make_plan(season_of(data), TODAY)


def tasks_of(*chores, later=0, crew=None):
    return [m.new for m in refresh(plan_of(*chores, later=later, crew=crew)[1]).tasks]


def saved_plan(*chores, later=0):
    data, plan = plan_of(*chores, later=later)
    data = apply_edits(data, refresh(plan).change.edits)
    return data, make_plan(season_of(data), TODAY)
