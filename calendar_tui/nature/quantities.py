"""How many: plants to an area, seeds, trays and cuttings for a number of plants, fresh weight for dry.

Shares are 0 to 1. Counts are whole: what fits is rounded down, what is needed is rounded up.
"""

from __future__ import annotations

from math import ceil, floor

# Figures such as 0.3 x 3 miss their whole number by less than this share; a real remainder is larger.
_WHOLE = 1e-9


def plants_per_area(area_m2: float, between_rows_m: float, in_row_m: float) -> int:
    """Plants that fit on an area at a spacing, edges not counted. Raises ValueError unless all are over 0."""
    _over_zero(area_m2=area_m2, between_rows_m=between_rows_m, in_row_m=in_row_m)
    return floor(area_m2 / (between_rows_m * in_row_m) * (1 + _WHOLE))


def area_of_plants_m2(plants: int, between_rows_m: float, in_row_m: float) -> float:
    """The area (m2) that a number of plants takes at a spacing. Raises ValueError unless the spacing is over 0."""
    _over_zero(between_rows_m=between_rows_m, in_row_m=in_row_m)
    return plants * between_rows_m * in_row_m


def seeds_needed(
    plants: int, germination: float, usable: float = 1.0, survival: float = 1.0, female: float = 1.0
) -> int:
    """Seeds to sow so that `plants` stand in the field.

    germination: share of seeds that come up; usable: share of seedlings fit to plant; survival: share alive after
    transplant; female: share kept (about 0.5 from regular seed). Raises ValueError unless each share is over 0 up to 1.
    """
    _shares(germination=germination, usable=usable, survival=survival, female=female)
    return _up(plants / (germination * usable * survival * female))


def cuttings_needed(plants: int, rooting: float, survival: float = 1.0) -> int:
    """Cuttings to stick so that `plants` stand in the field. Raises ValueError unless each share is over 0 up to 1."""
    _shares(rooting=rooting, survival=survival)
    return _up(plants / (rooting * survival))


def trays(pieces: int, cells: int) -> int:
    """Trays of `cells` for seeds or cuttings, one to a cell. Raises ValueError unless `cells` is over 0."""
    _over_zero(cells=cells)
    return ceil(pieces / cells)


def wet_to_dry(moisture_wet: float, moisture_dry: float) -> float:
    """kg of fresh crop to one kg of dry crop, by their shares of water. Raises ValueError unless 0 <= dry <= wet < 1."""
    if not 0 <= moisture_dry <= moisture_wet < 1:
        raise ValueError(
            f"moisture of {moisture_wet:g} fresh and {moisture_dry:g} dry: give shares of water from 0 to under 1, "
            f"the fresh crop's the larger"
        )
    return (1 - moisture_dry) / (1 - moisture_wet)


def _up(count: float) -> int:
    return ceil(count * (1 - _WHOLE))


def _shares(**shares: float) -> None:
    for name, share in shares.items():
        if not 0 < share <= 1:
            raise ValueError(f"{name} is {share:g}; it is a share, over 0 and up to 1")


def _over_zero(**figures: float) -> None:
    for name, figure in figures.items():
        if not figure > 0:
            raise ValueError(f"{name} is {figure:g}; it must be over 0")
