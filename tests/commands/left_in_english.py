"""The lines of what a crew is shown in which words of the program are left in English.

All that the Spanish catalogue has is shown in letters that English has not (tests/language/other_letters.py); words in English
letters are then what a person wrote, names and ids, and what `STAYS` has. That the Spanish one has every text is tested in tests/language.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from calendar_tui.language.po import entries
from calendar_tui.storage.languages import SHIPPED
from tests.language.other_letters import other_letters
from tests.season_data import data_of

CATALOGUE = (SHIPPED / "es.po").read_text(encoding="utf-8")
MESSAGES = {entry.text for entry in entries(CATALOGUE)}
OTHER_LETTERS = other_letters(CATALOGUE)
# Texts of a record that a person wrote, and names that a person gave, by key; without those that are the catalogue's.
# fmt: off
OWN = (
    "id", "name", "note", "fact", "product", "condition", "who", "target", "active", "lot", "part", "variety",
    "laboratory", "value", "report", "source", "registration", "timezone", "what", "asks", "caution",
)
# fmt: on
# What is the same in every language, and why.
STAYS: Mapping[str, str] = {
    r'calendar-tui [a-z-]+(?: (?:[A-Z]\S*|\S*\d\S*|--\S+|"[^"]*"|[a-z_]+(?= (?:\d{4}-|DATE|[A-Z]{4}))|transplant\b|taken\b|trip\b))*': "a command",
    r"calendar-tui (add variable height unit cm|set chore CHORE observe height)": "a command",
    r'--work "weeding"': "an example of a flag",
    r"\b(hold|shift)\b": "answers, as they are typed",
    r"\b(COHORT|DATE|TEXT|CHORE|TASK|AGENT)\b": "stands for a name in a command",
    r"--[a-z]+": "a flag",
    r"\b[0-9A-Z]{2,3}(-[0-9A-Z]{3}\b|-?[0-9A-Z]*(?:…|\.\.\.))": "the id of a bag, cut short at the end of a line or not",
    r"\b(flowering-share|stand|height|width|fresh|dry-flower)\b(?= \(|: \d)": "the ids of variables, as they are typed",
    r"\b(THC|THCA|CBD|CBDA)\b": "substances, as laboratories write them",
    r"\b(kg|cm|mm|kWh|kW|min)\b": "units of the SI, and minutes",
    r"\b(CFR|CV|EPA|NEC|IEC|ISO|RFC)\b": "names of rules and standards",
    r"\S+\.(toml|html|csv)\b": "a file",
}


def _own_texts(data: object, key: str = "") -> set[str]:
    if isinstance(data, dict):
        return set().union(*(_own_texts(value, name) for name, value in data.items()))
    if isinstance(data, list):
        return set().union(*(_own_texts(value, key) for value in data))
    return {data} if isinstance(data, str) and key in OWN else set()


def left_in_english(text: str, season: Path) -> list[str]:
    """The lines with words in English letters beside what people wrote and what stays."""
    own = _own_texts(data_of(season.read_text(encoding="utf-8"))) - MESSAGES
    names = "|".join(map(re.escape, sorted(own, key=len, reverse=True)))
    whole = re.sub(r"\s+", " ", text.replace("\n", " ¶ ").replace(" ¶  ", " "))
    left = re.sub("|".join((*STAYS, rf"(?<![\w-])(?:{names})(?![\w-])")), "", whole)
    return [line for line in left.split("¶") if re.search(r"[A-Za-z]{2}", line)]
