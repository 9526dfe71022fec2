"""Handbooks for an orthodontic practice's procedure sets: read a practice folder, plan, make the cards, publish.

>>> practice = read_practice("example_practice")
>>> plan = make_plan(practice)
>>> {figure.id: figure.value for figure in plan.figures}["stock.core"]
22
>>> reports, tables = make_reports(practice, plan), make_tables(practice, plan)
>>> publish_handbook(make_handbooks(practice, plan), to="out", reports=reports, tables=tables)
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitdocs.document.card import Card as Card
    from kitdocs.document.card import Handbook as Handbook
    from kitdocs.handbook.build_handbook import make_handbook as make_handbook
    from kitdocs.handbook.build_handbook import make_handbooks as make_handbooks
    from kitdocs.planning.figure import Figure as Figure
    from kitdocs.planning.plan import Plan as Plan
    from kitdocs.planning.plan import make_plan as make_plan
    from kitdocs.practice.model import Practice as Practice
    from kitdocs.practice.problems import KitdocsError as KitdocsError
    from kitdocs.practice.problems import PracticeError as PracticeError
    from kitdocs.practice.problems import Problem as Problem
    from kitdocs.practice.problems import PublishError as PublishError
    from kitdocs.practice.reading.reader import read_practice as read_practice
    from kitdocs.practice.schema import schemas as schemas
    from kitdocs.publish.handbook_folder import publish_handbook as publish_handbook
    from kitdocs.report.build_report import make_reports as make_reports
    from kitdocs.report.tables import make_tables as make_tables
    from kitdocs.report.tables import plan_tables as plan_tables
    from kitdocs.starter import start as start
    from kitdocs.version import __version__ as __version__

#: Public names by the module that defines them. A name is imported when it is first used, so `import kitdocs` is quick.
_DEFINED_IN = {
    "document.card": ("Card", "Handbook"),
    "handbook.build_handbook": ("make_handbook", "make_handbooks"),
    "planning.figure": ("Figure",),
    "planning.plan": ("Plan", "make_plan"),
    "practice.reading.reader": ("read_practice",),
    "practice.model": ("Practice",),
    "practice.problems": ("KitdocsError", "PracticeError", "Problem", "PublishError"),
    "practice.schema": ("schemas",),
    "publish.handbook_folder": ("publish_handbook",),
    "report.build_report": ("make_reports",),
    "report.tables": ("make_tables", "plan_tables"),
    "starter": ("start",),
    "version": ("__version__",),
}
_MODULE_OF = {name: module for module, names in _DEFINED_IN.items() for name in names}

__all__ = sorted(_MODULE_OF)  # noqa: PLE0605


def __getattr__(name: str) -> object:
    """Import a public name at its first use (PEP 562)."""
    if name not in _MODULE_OF:
        raise AttributeError(f"module 'kitdocs' has no attribute '{name}'")
    value = globals()[name] = getattr(import_module(f"kitdocs.{_MODULE_OF[name]}"), name)
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
