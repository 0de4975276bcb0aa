"""How laboratories spell what they measured, and the units they give it in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from unicodedata import normalize

from calendar_tui.nature.analytes import ANALYTES

TOTAL_THC, TOTAL_CBD, WATER = OTHERS = ("total THC", "total CBD", "water")
# What a result may be of.
MEASURED = (*ANALYTES, *OTHERS)

_SPELT: Mapping[str, tuple[str, ...]] = {
    "THC": ("d9thc", "delta9thc", "delta9", "d9", "thcdelta9", "thcd9", "delta9tetrahydrocannabinol"),
    "THCA": ("thcaa", "d9thca", "delta9thca", "delta9thcaa", "tetrahydrocannabinolicacid"),
    "THC8": ("d8thc", "delta8thc", "delta8", "d8", "thcdelta8", "thcd8"),
    "CBD": ("cannabidiol",),
    "CBDA": ("cannabidiolicacid",),
    TOTAL_THC: ("thctotal", "totald9thc", "totaldelta9thc", "sumthc", "thcsum"),
    TOTAL_CBD: ("cbdtotal", "sumcbd", "cbdsum"),
    WATER: ("moisture", "moisturecontent", "watercontent"),
}
_UNITS: Mapping[str, tuple[str, ...]] = {
    "%": ("%", "percent", "pct", "% w/w", "%w/w", "wt%", "wt %", "g/100g", "g/100 g", "% m/m"),
    "mg/g": ("mg/g", "mg g-1"),
    "g/kg": ("g/kg", "g kg-1"),
    "mg/kg": ("mg/kg", "mg kg-1"),
    "ppm": ("ppm",),
    "ug/g": ("ug/g", "mcg/g", "μg/g"),
}
_UNIT_OF = {spelt: unit for unit, every in _UNITS.items() for spelt in every}
# The longest first, so that "% w/w" is not read as "%".
_UNIT_WORDS = "|".join(sorted(map(re.escape, _UNIT_OF), key=len, reverse=True))
_BRACKETS = re.compile(r"[(\[{]([^()\[\]{}]*)[)\]}]")
_LAST_UNIT = re.compile(rf"(?:^|[\s_,;:/-])({_UNIT_WORDS})$")
_DELTAS = str.maketrans({"δ": "delta", "∆": "delta", "△": "delta"})


def folded(text: str) -> str:
    """Letters and digits alone, small, a Greek delta written out: "Δ9-THC" is "delta9thc"."""
    plain = normalize("NFKC", text).casefold().translate(_DELTAS)
    return "".join(char for char in plain if char.isalnum())


_BY_SPELLING = {
    **{folded(name): name for name in MEASURED},
    **{spelt: name for name, every in _SPELT.items() for spelt in every},
}


def analyte_named(text: str) -> str:
    """The id of what a laboratory calls so, among MEASURED; "" for what is not known."""
    return _BY_SPELLING.get(folded(text), "")


def unit_named(text: str) -> str:
    """The unit that is spelt so; "" for what is none."""
    return _UNIT_OF.get(_small(text), "")


def without_unit(header: str) -> tuple[str, str]:
    """A header and its unit apart: "THCA (mg/g)" gives "THCA", "mg/g"; "" where it has none.

    Words in the brackets beside the unit, such as "% dry weight", belong to the unit and not to the name.
    """
    words = _small(header)
    for inside in _BRACKETS.finditer(words):
        if unit := _first_unit(inside[1]):
            return (words[: inside.start()] + words[inside.end() :]).strip(), unit
    if (last := _LAST_UNIT.search(words)) and last.start() > 0:
        return words[: last.start()].strip(), _UNIT_OF[last[1]]
    return words, ""


def _first_unit(words: str) -> str:
    unit = re.match(rf"\s*({_UNIT_WORDS})(?![\w/])", words)
    return _UNIT_OF[unit[1]] if unit else ""


def _small(text: str) -> str:
    return normalize("NFKC", text).strip().casefold().replace("⁻", "-").replace("µ", "μ")
