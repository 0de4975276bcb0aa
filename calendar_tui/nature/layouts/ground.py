"""The ground of a plot: its rows and plants, the guards that are never measured, the measured centre, its area."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

# Lengths are sums of typed decimals: a row that fits to within a millionth fits.
_HAIR = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """A plot of `rows` rows with `plants` plants each. spacing_m: between rows, and in the row, m.

    guard_rows: rows on each side that are not measured; guard_plants: plants at each end of a row. 1 row and 2 plants are
    common practice, no source for hemp.
    """

    rows: int
    plants: int
    spacing_m: tuple[float, float]
    guard_rows: int = 1
    guard_plants: int = 2

    def __post_init__(self) -> None:
        """Raises ValueError where nothing is left to measure, or a figure is no size."""
        if self.rows < 1 or self.plants < 1 or min(self.spacing_m) <= 0:
            raise ValueError(
                f"a plot of {self.rows} rows of {self.plants} plants at {self.spacing_m[0]:g} x {self.spacing_m[1]:g} m; "
                f"each must be over 0"
            )
        if self.guard_rows < 0 or self.guard_plants < 0:
            raise ValueError("guard rows and guard plants must be 0 or more")
        if self.measured < 1:
            raise ValueError(
                f"a plot of {self.rows} rows of {self.plants} plants leaves no plant to measure: guard rows are "
                f"{self.guard_rows} on each side, guard plants {self.guard_plants} at each end; make the plot larger"
            )

    @property
    def measured_rows(self) -> int:
        return max(0, self.rows - 2 * self.guard_rows)

    @property
    def measured_in_a_row(self) -> int:
        return max(0, self.plants - 2 * self.guard_plants)

    @property
    def planted(self) -> int:
        """Plants, guards included."""
        return self.rows * self.plants

    @property
    def measured(self) -> int:
        """Plants of the measured centre."""
        return self.measured_rows * self.measured_in_a_row

    @property
    def width_m(self) -> float:
        """Across the rows, half a row's room on each side."""
        return self.rows * self.spacing_m[0]

    @property
    def length_m(self) -> float:
        return self.plants * self.spacing_m[1]

    @property
    def area_m2(self) -> float:
        return self.width_m * self.length_m

    @property
    def measured_m2(self) -> float:
        """Ground of the measured centre: a yield of it is per this area."""
        return self.measured * self.spacing_m[0] * self.spacing_m[1]

    def at(self, spacing_m: tuple[float, float]) -> Ground:
        """The same piece of ground at another spacing, its guards at that spacing too: as many rows and plants as fit."""
        return Ground(
            rows=floor(self.width_m / spacing_m[0] + _HAIR),
            plants=floor(self.length_m / spacing_m[1] + _HAIR),
            spacing_m=spacing_m,
            guard_rows=self.guard_rows,
            guard_plants=self.guard_plants,
        )
