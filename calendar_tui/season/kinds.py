"""The kinds of record of a season, a row each. Whatever lists kinds is worked out from this table; their keys are in `fields`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

BY_ID = ("id",)
# The table that holds the kinds that come in hundreds, and the first format that has it.
RECORDS = "records"
RECORDS_SINCE = 3


# What becomes of a record that names another which is to be taken out.
STANDS, GOES, FOLLOWS = "stands", "goes", "follows"


class Naming(NamedTuple):
    """Where records of a kind are named: in the records of another, under a key. A list there holds names, or tables with a place.

    when_gone: STANDS: the other rests on it, so it stays; GOES: it is taken out along with it; FOLLOWS: neither.
    """

    kind: str
    key: str
    when_gone: str = STANDS

    @property
    def path(self) -> tuple[str, ...]:
        """Where the name stands in the other record: a key, or "table.key"."""
        return tuple(self.key.split("."))


class Kind(NamedTuple):
    """One kind of record.

    name: its name in words, and that of its table in the file.
    record: the file of the season's records that has it, loaded where there is one to read, and its class; None for the
    first table of a season, whose fields are the season's own.
    attr: where a season has it, if not under its name.
    identity: the keys that tell one record from another; () for a table that stands once.
    needed: whether a season cannot do without it. by_id: whether a season has its records by their ids, not in turn.
    in_records: whether it stands one to a line in `[records]`, in a file of a format that has this table.
    by_fields: whether its records are kept by the names of their fields; others follow from the rest or have means of their own.
    of_all: whether its change may alter the work of every cohort.
    named_in: where its records are named; counted_in: tables with a value for each of them, by name.
    own: keys of one record alone, which a copy has not: what happened to it, what it is called, what was learnt of it.
    of_crop: whether it is of a trial or of the time from flowering on, and its fields and checks are loaded where a season
    has one. numbered: whether the program makes its ids and nothing names them, so that one id made in two copies of a
    season stands for two records.
    """

    name: str
    record: tuple[str, str] | None
    attr: str = ""
    identity: tuple[str, ...] = ()
    needed: bool = False
    by_id: bool = False
    in_records: bool = False
    by_fields: bool = True
    of_all: bool = False
    named_in: tuple[Naming, ...] = ()
    counted_in: tuple[tuple[str, str], ...] = ()
    own: tuple[str, ...] = ()
    of_crop: bool = False
    numbered: bool = False


_COHORT_OR_LOT_IS_NAMED = (Naming("official", "lot"), Naming("pass", "lot"))
_PLACE_IS_NAMED = (
    Naming("cohort", "nursery"),
    Naming("cohort", "place"),
    Naming("cohort", "stays"),
    Naming("draft", "nursery"),
    Naming("draft", "cohorts"),
    Naming("outage", "place", GOES),
    Naming("programme", "place", GOES),
    Naming("task", "place", FOLLOWS),
    Naming("spray", "place"),
    Naming("trial", "place"),
    Naming("trial", "places"),
    Naming("trial", "draw_light_among"),
    Naming("trial", "nursery"),
    Naming("plot", "place"),
)
_PERIOD = ("place", "from")
KINDS = (
    Kind("season", None, needed=True, of_all=True),
    Kind("site", ("records", "Site"), needed=True, of_all=True),
    Kind("crew", ("work", "Crew"), of_all=True),
    Kind("heat", ("weather", "Heat"), of_all=True),
    Kind("station", ("weather", "Station"), of_all=True),
    Kind("supplies", ("supplies", "Supplies"), of_all=True),
    Kind("stock", ("supplies", "Stock")),
    Kind("capacity", ("capacity", "Capacity")),
    Kind(
        "place",
        ("records", "Place"),
        "places",
        BY_ID,
        by_id=True,
        named_in=_PLACE_IS_NAMED,
        own=("name",),
    ),
    Kind(
        "variety",
        ("records", "Variety"),
        "varieties",
        BY_ID,
        by_id=True,
        named_in=(
            Naming("cohort", "variety"),
            Naming("draft", "variety"),
            Naming("trial", "variety"),
            Naming("trial", "factors.variety"),
            Naming("plot", "treatment.variety"),
        ),
        counted_in=(("stock", "seeds"), ("stock", "cuttings")),
        own=("sets", "before_fit"),
    ),
    Kind(
        "cohort",
        ("records", "Cohort"),
        "cohorts",
        BY_ID,
        by_id=True,
        named_in=(
            Naming("task", "cohort", FOLLOWS),
            Naming("task", "cohorts", FOLLOWS),
            Naming("lot", "cohort", GOES),
            Naming("sampling", "cohorts"),
            Naming("sample", "cohort"),
            Naming("plot", "cohort"),
            Naming("observation", "at"),
            *_COHORT_OR_LOT_IS_NAMED,
        ),
        own=(
            "planned",
            "replanned",
            "recorded",
            "not_yet",
            "forecast",
            "forecast_at_start",
            "forecast_at_transplant",
            "forecast_at_lights_off",
            "causes",
            "flowering_ends",
            "harvest_by",
            "note",
        ),
    ),
    Kind(
        "chore",
        ("work", "Chore"),
        "chores",
        BY_ID,
        by_id=True,
        named_in=(Naming("task", "chore", FOLLOWS),),
        own=("since",),
    ),
    Kind("task", ("work", "Task"), "tasks", BY_ID, in_records=True, by_fields=False),
    Kind("outage", ("records", "Outage"), "outages", _PERIOD),
    Kind("thermometer", ("weather", "ThermometerDay"), "thermometer", ("date",), in_records=True),
    Kind("programme", ("records", "Programme"), "programmes", _PERIOD),
    Kind("draft", ("capacity", "Draft"), "drafts", BY_ID, by_id=True, by_fields=False),
    Kind(
        "profile",
        ("rules", "Profile"),
        "profiles",
        BY_ID,
        by_id=True,
        of_crop=True,
        named_in=(Naming("lot", "rules"),),
    ),
    Kind(
        "lot",
        ("rules", "Lot"),
        "lots",
        BY_ID,
        by_id=True,
        of_crop=True,
        named_in=(Naming("sample", "lot"), *_COHORT_OR_LOT_IS_NAMED),
        own=("flowering_ends", "harvest_by"),
    ),
    Kind(
        "laboratory",
        ("sampling", "Laboratory"),
        "laboratories",
        BY_ID,
        by_id=True,
        of_crop=True,
        named_in=(
            Naming("sampling", "laboratory"),
            Naming("sample", "laboratory"),
            Naming("result", "laboratory"),
            Naming("official", "laboratory"),
        ),
        own=("name",),
    ),
    Kind("sampling", ("sampling", "Sampling"), "samplings", BY_ID, by_id=True, of_crop=True),
    Kind(
        "spray",
        ("spraying", "Spray"),
        "sprays",
        BY_ID,
        by_id=True,
        in_records=True,
        of_crop=True,
        numbered=True,
    ),
    Kind(
        "sample",
        ("sampling", "Sample"),
        "samples",
        BY_ID,
        by_id=True,
        in_records=True,
        of_crop=True,
        named_in=(Naming("result", "sample"), Naming("sample", "again")),
    ),
    Kind(
        "result",
        ("sampling", "Result"),
        "results",
        BY_ID,
        by_id=True,
        in_records=True,
        of_crop=True,
        numbered=True,
    ),
    Kind(
        "official",
        ("rules", "Official"),
        "officials",
        BY_ID,
        by_id=True,
        in_records=True,
        of_crop=True,
        numbered=True,
    ),
    Kind(
        "pass",
        ("cutting", "Pass"),
        "passes",
        BY_ID,
        by_id=True,
        in_records=True,
        of_crop=True,
        numbered=True,
    ),
    Kind(
        "batch",
        ("cutting", "Batch"),
        "batches",
        BY_ID,
        by_id=True,
        in_records=True,
        of_crop=True,
        named_in=(Naming("pass", "batch"), Naming("reading", "batch", GOES)),
    ),
    Kind(
        "reading",
        ("cutting", "DryingReading"),
        "readings",
        BY_ID,
        by_id=True,
        in_records=True,
        of_crop=True,
        numbered=True,
    ),
    Kind(
        "trial",
        ("trials", "Trial"),
        "trials",
        BY_ID,
        by_id=True,
        of_crop=True,
        named_in=(Naming("plot", "trial", GOES),),
        own=("name", "date", "seed", "note"),
    ),
    Kind(
        "plot",
        ("trials", "TrialPlot"),
        "plots",
        BY_ID,
        by_id=True,
        in_records=True,
        of_crop=True,
        named_in=(Naming("observation", "at"), Naming("sample", "plot")),
    ),
    Kind(
        "variable",
        ("observing", "Variable"),
        "variables",
        BY_ID,
        by_id=True,
        of_crop=True,
        named_in=(Naming("observation", "variable"), Naming("chore", "observe")),
        own=("name",),
    ),
    Kind(
        "observation",
        ("observing", "Observation"),
        "observations",
        ("date", "at", "variable"),
        in_records=True,
        by_fields=False,
        of_crop=True,
    ),
)
BY_NAME: Mapping[str, Kind] = {kind.name: kind for kind in KINDS}
# Tables that stand once, those that a season can do without, and kinds of which there are several.
SINGLE = tuple(kind.name for kind in KINDS if kind.needed)
OPTIONAL = tuple(kind.name for kind in KINDS if not (kind.needed or kind.identity))
LISTED = tuple(kind.name for kind in KINDS if kind.identity)
_IDENTITY: Mapping[str, tuple[str, ...]] = {kind.name: kind.identity for kind in KINDS}
# Where the kinds that come in hundreds stand in a file. In the data they stand by their own names, as the others do.
IN_RECORDS: Mapping[str, tuple[str, str]] = {
    kind.name: (RECORDS, kind.name) for kind in KINDS if kind.in_records
}
# The keys that a record of one line begins with; lines stand in the order of the last of them.
FIRST_KEYS = ("id", "date")


def identity_keys(kind: str) -> tuple[str, ...]:
    """The keys that tell one record of this kind from another; () for a table that stands once.

    A kind that is not known is taken to have ids.
    """
    return _IDENTITY.get(kind, BY_ID)


def identity(kind: str, record: Mapping[str, Any]) -> tuple[Any, ...]:
    """The identity values of a record of this kind."""
    keys = identity_keys(kind)
    return (record.get(keys[0]),) if len(keys) == 1 else tuple(map(record.get, keys))


def has_records(form: Any) -> bool:
    """Whether a file of this format has records one to a line; a file that names none is of the newest."""
    return type(form) is not int or not 0 < form < RECORDS_SINCE


def by_kind(data: Mapping[str, Any]) -> dict[str, Any]:
    """The data of a file with each kind under its own name, wherever it stands; as they are where that is so already.

    Records in blocks of their own come behind those of one line. What cannot be brought together stays in `[records]`, as
    keys of one's own do.
    """
    held = data.get(RECORDS)
    if not isinstance(held, dict):
        return dict(data)
    rest, all_kinds = dict(held), {key: value for key, value in data.items() if key != RECORDS}
    for kind, (_, key) in IN_RECORDS.items():
        if key in rest and (
            kind not in all_kinds or (isinstance(rest[key], list) and isinstance(all_kinds[kind], list))
        ):
            lines = rest.pop(key)
            all_kinds[kind] = [*lines, *all_kinds[kind]] if kind in all_kinds else lines
            if all_kinds[kind] == []:
                del all_kinds[kind]
    if rest:
        all_kinds[RECORDS] = rest
    return all_kinds
