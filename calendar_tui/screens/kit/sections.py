"""The sections of the help: which keys of the table are told under which title."""

from __future__ import annotations

# In order: name, title, and whose keys stand there.
# fmt: off
SECTIONS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("season", "In the season view", ("chart", "season")),
    ("palette", "Where anything is found by its words", ("palette",)),
    ("today", "In what waits today", ("today",)),
    ("tasks", "Where tasks are listed: today and in the week", ("tasks in a list",)),
    ("week", "In the week view", ("week",)),
    ("record", "Where a date is recorded", ("record",)),
    ("form", "In a form", ("form fields", "form", "add form", "kinds")),
    ("farm", "In the farm; in the varieties and the chores too", ("records",)),
    ("done", "Where tasks are ticked with a day or a note", ("notes", "tasks")),
    ("outage", "Where nights without lamps are recorded", ("outage",)),
    ("stay", "Where pots are carried into another place", ("stay",)),
    ("lamps", "In the lamps view", ("lamps",)),
    ("trend", "In the trend", ("trend",)),
    ("trial", "In the map of a trial", ("trial",)),
    ("field book", "In the field book", ("cells", "field book")),
    ("analysis", "In what a trial shows", ("analysis",)),
    ("lots", "In the day to cut", ("lots",)),
    ("rules", "In the rules", ("rules",)),
    ("varieties", "In the varieties", ("varieties",)),
    ("response", "In the planting dates", ("response",)),
    ("stagger", "In the staggering", ("drafts", "scheme", "added", "ways", "stagger")),
    ("cohort", "In a cohort", ("cohort",)),
    ("load", "In the load", ("load",)),
    ("bags", "In the bags for the laboratory", ("bags",)),
    ("trip", "Where the bags of a trip are ticked", ("trip",)),
    ("results", "In the laboratory's results", ("results",)),
    ("drying", "In the harvest and the dryer", ("drying",)),
    ("review", "In the review, and in the fit of a variety", ("fit",)),
    ("fit", "In the fit of a variety", ("fit records",)),
    ("chores", "In the chores", ("chores",)),
    ("moves", "Where old and new dates are shown", ("answers", "moves")),
    ("history", "In the history", ("history", "change")),
    ("past", "In the season as it was", ("past",)),
    ("question", "Where a question is asked", ("question",)),
    ("print", "Where a page is printed", ("print",)),
    ("problems", "In a season with problems", ("problems",)),
    ("first", "On the first screen", ("first",)),
    ("weather file", "In the farm, for its weather", ("weather",)),
    ("next", "In the farm, and on the first screen", ("next season",)),
    ("view", "In every other view", ("view",)),
    ("program", "Everywhere", ("anything", "undo", "redo", "program", "help")),
    ("mouse", "With the mouse", ("mouse",)),
)
# fmt: on
# Those of the views that are in the crew's language; the grower's are in English, and so are their keys.
OF_CREW = frozenset(
    {"today", "tasks", "week", "done", "trip", "record", "moves", "question", "view", "program", "mouse"}
)
