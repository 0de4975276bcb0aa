"""Lines that still have a metric unit, or a time by the clock of 24 hours, where US units and the clock of 12 are shown."""

from __future__ import annotations

import re

# A number with a metric unit; not sums of heat ("420 C d"), nor what a caution tells in both ("91 F (33 C)").
METRIC = re.compile(r"(?<![\w.(])\d+(?:\.\d+)?\s?(?:m2|m|cm|mm|kg|g|L|ha|C)(?![\w/²-])(?! [dh]\b)")
HOUR_24 = re.compile(r"(?<![\d:.\-T])(?:[01]\d|2[0-3]):[0-5]\d(?![:\d])(?! ?[ap]m)")
# Prose of the law and of papers, as their words stand; and what was written down, or is saved with a task.
QUOTED = re.compile(r"Dried under 70 C|^\s*note: |found: |is before sunrise at|is after sunset at")
