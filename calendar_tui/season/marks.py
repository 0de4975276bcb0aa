"""Where the default figures of a variety and of supplies come from. docs/how-dates-are-worked-out.md names the sources."""

from __future__ import annotations

from collections.abc import Mapping

# Two marks where the three figures of a span differ in origin.
DEFAULT_MARKS: Mapping[str, tuple[str, ...]] = {
    "critical_day": ("computed",),
    "full_response_day": ("computed",),
    "inductive_days": ("computed",),
    "emergence_d": ("practice",),
    "rooting_d": ("read", "placeholder"),
    "seeding_to_transplant_d": ("read", "placeholder"),
    "sticking_to_transplant_d": ("read", "placeholder"),
    "juvenile_d": ("computed",),
    "emergence_to_flowering_d": ("placeholder",),
    "induced_to_flowering_d": ("placeholder",),
    "flowering_to_harvest_d": ("read", "placeholder"),
    "drying_d": ("read", "placeholder"),
    "germination_ch": ("read",),
    "germination_to_emergence_cd": ("computed",),
    "cutting_spread": ("placeholder",),
    "germination": ("placeholder",),
    "usable": ("placeholder",),
    "rooting": ("placeholder",),
    "survival": ("placeholder",),
    "moisture_fresh": ("placeholder",),
    "moisture_dry": ("read",),
}
# Where the default figures of supplies come from; docs/season-file.md names the sources.
SUPPLY_MARKS: Mapping[str, str] = {
    "tray_cells": "placeholder",
    "media_l_per_tray": "placeholder",
    "bags_per_sampling": "read",
    "labels_per_tray": "placeholder",
    "labels_per_cohort": "placeholder",
}
# What a figure is marked as when it is changed and nobody says where the new one comes from: a guess.
GUESS_MARK = "placeholder"
