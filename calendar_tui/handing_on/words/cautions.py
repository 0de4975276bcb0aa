"""The cautions that are shown where the work is, in one table; docs/safety.md has all of them."""

from __future__ import annotations

# Common practice, no source; the label and the law of the place come first.
LABEL_IS_LAW = "The label is the law: the product must be labelled for the crop and the place."
NO_ENTRY = "Nobody enters a closed place before its time, for no work."
LABEL = f"{LABEL_IS_LAW} {NO_ENTRY}"
