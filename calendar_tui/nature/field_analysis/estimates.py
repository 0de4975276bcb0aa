"""What a fitted trial gives, whichever way it was fitted: sources of variation, and combinations of means with their error."""

from __future__ import annotations

from typing import NamedTuple, Protocol

from calendar_tui.nature.field_analysis.designs import Term
from calendar_tui.nature.field_analysis.plots import Cells, Floats


class Source(NamedTuple):
    """A row of the analysis of variance. ss, ms: None by REML; f, p, error_df: None where nothing tests it."""

    term: Term
    df: int
    ss: float | None = None
    ms: float | None = None
    f: float | None = None
    error_df: float | None = None
    p: float | None = None


class Estimates(NamedTuple):
    """Combinations of means: their value, standard error and degrees of freedom, as long as each other."""

    value: Floats
    se: Floats
    df: Floats


class Tested(NamedTuple):
    """F, the degrees of freedom of its error, and the chance of such an F or a higher one where there is no effect."""

    f: float
    error_df: float
    p: float


class Fit(Protocol):
    """A trial that is fitted."""

    @property
    def sources(self) -> tuple[Source, ...]: ...

    @property
    def residuals(self) -> Floats: ...

    def combined(self, cells: Cells, coefficients: Floats) -> Estimates:
        """Combinations of the means of cells. coefficients: combinations by cells, each row adding up to 0."""

    def means(self, cells: Cells) -> Estimates:
        """The mean of each cell; standard error NaN where it has none of its own."""

    def together(self, cells: Cells, coefficients: Floats) -> Tested | None:
        """F of all these combinations of one term being 0; None where no one error tests them."""
