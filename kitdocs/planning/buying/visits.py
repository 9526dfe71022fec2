"""How often a busy day each procedure is done."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from kitdocs.practice.model import Practice


def visits_per_day(practice: Practice) -> Mapping[str, float]:
    """Return the visits of each procedure: as the schedule has them, or as procedures.yaml states."""
    if not practice.schedule:
        return {procedure: record.per_day for procedure, record in practice.procedures.items()}
    days = len({visit.day for visit in practice.schedule})
    return {p: n / days for p, n in Counter(visit.procedure for visit in practice.schedule).items()}
