"""What a person has set for the full screen."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from calendar_tui.screens.kit.key import Key

NO_KEYS: Mapping[str, Key] = MappingProxyType({})


class Preferences(NamedTuple):
    """keys: those that are others than the table's, by the ids of their bindings. role: whose work the week shows first.
    first_weekday: counted from Monday as 0. language: the code of that in which the crew's work is shown, "" where it is not set;
    locale: the computer's, "" for English. note: what of the settings does not hold, to be told once.
    """

    keys: Mapping[str, Key] = NO_KEYS
    mouse: bool = True
    role: str = ""
    theme: str = ""
    first_weekday: int = 0
    note: str = ""
    language: str = ""
    locale: str = ""


AS_IT_COMES = Preferences()
