"""A person's choice of records for a fit: which are left out, and which count although the others contradict them."""

from __future__ import annotations

from typing import NamedTuple


class Choice(NamedTuple):
    """By the ids of cohorts. without: whose records are left out; counted: whose count although the others contradict them."""

    without: frozenset[str] = frozenset()
    counted: frozenset[str] = frozenset()

    def turned(self, cohort: str, contradicted: bool) -> Choice:
        """With the next choice for a cohort: that it counts, where it is contradicted; that it is left out; nothing."""
        one = {cohort}
        if cohort in self.without:
            return self._replace(without=self.without - one)
        if contradicted and cohort not in self.counted:
            return self._replace(counted=self.counted | one)
        return Choice(self.without | one, self.counted - one)


AS_IT_COMES = Choice()
