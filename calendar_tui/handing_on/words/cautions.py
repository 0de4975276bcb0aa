"""Every caution of the program in one table: under which heading of docs/safety.md, its words, where it is shown, its source.

A sentence has the same words wherever it stands, those of the starter chores where they have it too. Tests compare the table
with docs/safety.md, and with what each place shows.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

# Where cautions are shown, as docs/safety.md names it.
BAGS, BATCH, CHORES, CUT, CUSTODY, DOOR = (
    "bags",
    "batches",
    "chores",
    "the day to cut",
    "custody sheet",
    "page at the door",
)
HELP, LAMPS, NEW, OFFICIAL, PASS = "help", "lamps", "a new season's file", "official samples", "passes"
QUANTITIES, REPORT, RESULTS, RULES, SPRAYS = "quantities", "growers' page", "results", "rules", "sprays"
WALL, WEEK = "wall chart", "printed week"

LAW, SPRAYING, ELECTRICITY, HEAT, DRYING, LIGHT = (
    "The law",
    "Sprays",
    "Electricity in wet places",
    "Heat",
    "Drying rooms",
    "Light that is not proven",
)
PRACTICE = "common practice, no source"


class Caution(NamedTuple):
    """under: a heading of docs/safety.md; shown: where, of the names above."""

    under: str
    text: str
    shown: tuple[str, ...]
    source: str = PRACTICE


CAUTIONS: Mapping[str, Caution] = {
    "aid": Caution(
        LAW,
        "A planning aid, no legal, electrical, medical or agronomic advice.",
        (CUT, HELP, OFFICIAL, REPORT, RULES, WALL, WEEK),
    ),
    "rules": Caution(
        LAW,
        "Rules differ by place and change: check with the licensing authority.",
        (CHORES, HELP, REPORT, RULES),
    ),
    "licence": Caution(LAW, "No plant before the licence.", (CHORES, HELP, WALL, WEEK)),
    "agent": Caution(
        LAW,
        "Official samples only by an authorised agent.",
        (BAGS, CHORES, CUSTODY, CUT, HELP, OFFICIAL, RESULTS, WALL, WEEK),
        "7 CFR 990",
    ),
    "producer": Caution(
        LAW, "A producer never takes one.", (OFFICIAL,), "US guidelines for sampling agents, 15 January 2021"
    ),
    "own tests": Caution(LAW, "Own tests are PRE-TESTS, NOT OFFICIAL.", (BAGS, CUSTODY, REPORT, RESULTS)),
    "marked": Caution(LAW, "Mark own tests PRE-TEST, NOT OFFICIAL; paper bags, clean shears.", (CHORES,)),
    "own results": Caution(
        LAW, "Some places require own results to be reported: ask the authority.", (BAGS, RESULTS)
    ),
    "before a cut": Caution(
        LAW,
        "Only after the official sample, every re-entry and every pre-harvest interval.",
        (CHORES, CUT, PASS),
        "7 CFR 990.26; the label",
    ),
    "over": Caution(
        LAW,
        "Over the limit: follow the authority; do not move or mix the lot.",
        (CHORES, HELP, OFFICIAL, RESULTS),
        "7 CFR 990",
    ),
    "disposal": Caution(
        LAW,
        "Such plants may be a controlled substance: another test, remediation and disposal go by the authority's procedure.",
        (HELP, OFFICIAL, RESULTS),
        "7 CFR 990",
    ),
    "unmixed": Caution(
        LAW,
        "Lots, and passes of one lot whose results differ, are never mixed in a batch.",
        (BATCH, PASS),
        "7 CFR 990.26(c)",
    ),
    "verdicts": Caution(
        LAW, "The verdicts are the rules' arithmetic; the authority decides.", (OFFICIAL, RESULTS)
    ),
    "label": Caution(
        SPRAYING, "Sprays: the label is the law.", (CHORES, DOOR, HELP, SPRAYS), "40 CFR 156.208, 170"
    ),
    "product": Caution(
        SPRAYING,
        "The product must be labelled for the crop and place.",
        (CHORES, DOOR, HELP, SPRAYS),
        "the label",
    ),
    "entry": Caution(
        SPRAYING,
        "No entry before the re-entry interval is over.",
        (CHORES, DOOR, HELP, SPRAYS),
        "40 CFR 170",
    ),
    "all work": Caution(
        SPRAYING, "That holds for all work: to scout, to sample, to cut.", (DOOR, HELP, SPRAYS), "40 CFR 170"
    ),
    "lamps": Caution(
        ELECTRICITY,
        "Lamps in wet places: ground-fault protection, fittings made for wet places, circuits by a licensed electrician to "
        "local code.",
        (CHORES, HELP, LAMPS, NEW, WALL),
        "NEC 410.184, 547; IEC 60364-7-705",
    ),
    "cords": Caution(
        ELECTRICITY,
        "Nothing hung by its cord.",
        (CHORES, HELP, LAMPS, WALL),
    ),
    "daily": Caution(
        ELECTRICITY,
        "Hard-usage cords, inspected daily; switch off before storms.",
        (HELP, LAMPS, WALL),
    ),
    # The codes are named for the electrician to look up, not quoted.
    "codes": Caution(
        ELECTRICITY,
        "Ground-fault protection: in the US NEC 410.184 and article 547; elsewhere an RCD of 30 mA, IEC 60364-7-705.",
        (LAMPS,),
        "the codes themselves, not quoted",
    ),
    "circuits": Caution(
        ELECTRICITY,
        "At most 80 % of a circuit for continuous use is a value from memory, for one phase; a licensed electrician decides "
        "by the local code, also on starting currents and long cords.",
        (QUANTITIES,),
        "memory",
    ),
    "heat": Caution(HEAT, "Heat: water, shade and rest breaks.", (CHORES, CUT, HELP, PASS, WEEK)),
    "heat index": Caution(
        HEAT,
        "Heat index: under 91 F (33 C) basic care, to 103 F (39 C) moderate, to 115 F (46 C) high, over it extreme.",
        (HELP, PASS, WEEK),
        "OSHA guide",
    ),
    "covers": Caution(
        HEAT,
        "Covers trap heat: about 81 F (27 C) and more under the cloth can delay flowering. Draw them late and open them early on hot "
        "days, or let air through.",
        (LAMPS,),
        "read, of poinsettia",
    ),
    "dryer": Caution(
        DRYING,
        "Drying rooms: no overloaded circuits, blocked exits or home-made heaters; a mask against mould spores.",
        (BATCH, CHORES, HELP),
    ),
    "mould": Caution(DRYING, "Look for mould every day; keep what moulds apart.", (BATCH,)),
    "16 h": Caution(
        LIGHT,
        "A day of 16 h is common practice, not proven for every cultivar: extending to 15 h left incomplete inflorescences on "
        "one and 18 h prevented them; 16 h was not tried.",
        (LAMPS,),
        "Park et al. 2023, Horticulturae 9:526",
    ),
    "cyclic": Caution(
        LIGHT,
        "Lamps on and off in turn are taken to hold plants as a break without a pause does. That worked for 4 of 6 long-day "
        "species at 6 min on and 24 off; nothing was found for hemp. Try it on few plants first.",
        (LAMPS,),
        "Runkle et al. 1998, HortScience 33:672",
    ),
}


def cautions(*names: str) -> str:
    """The sentences of these names, in a row."""
    return " ".join(CAUTIONS[name].text for name in names)


def sourced(name: str) -> str:
    """A caution with its source in brackets at its end."""
    text = CAUTIONS[name].text
    return f"{text.removesuffix('.')} ({CAUTIONS[name].source})."


SPRAY = cautions("label", "product", "entry", "all work")
