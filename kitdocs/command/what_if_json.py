"""Changes of a what-if, before and after, as JSON data."""

from __future__ import annotations

from collections.abc import Mapping

from kitdocs.command.plan_json import Plain, figure_value
from kitdocs.document.catalog import MessageCatalog
from kitdocs.planning.compare import Comparison
from kitdocs.practice.proposal import DesignRecord, ProposalRecord
from kitdocs.report.amounts import unit_text


def what_if_json(words: MessageCatalog, comparison: Comparison, changes: Mapping[str, str]) -> Plain:
    """Return what was changed, and which figures that moves."""
    return {
        "set": dict(changes),
        "figures_changed": [
            {
                "id": change.id,
                "name": words.say(change.name),
                "unit": unit_text(words, change.unit),
                "before": None if change.before is None else figure_value(change.before),
                "after": None if change.after is None else figure_value(change.after),
            }
            for change in comparison.changed
        ],
        "figures_unchanged": comparison.unchanged,
    }


def designs_json(record: ProposalRecord) -> Plain:
    """Return the proposals that one was put in from, each as it was judged; lengths of time in minutes."""
    return {
        "chosen": record.chosen,
        "designs": {weighing: _design_json(design) for weighing, design in record.designs.items()},
        "today": record.today and _design_json(record.today),
    }


def _design_json(design: DesignRecord) -> Plain:
    figures = {name: getattr(design, name) for name in type(design).model_fields}
    return {**figures, "to_buy": str(design.to_buy)}
