"""Handbooks for an orthodontic practice's procedure sets: read a practice folder, plan, make the cards, publish.

>>> practice = read_practice("example_practice")
>>> plan = make_plan(practice, days=200)
>>> len(practice.chairs), len(plan.days.stock)
(7, 6)
>>> handbook, handbook_in_spanish = make_handbooks(practice, plan)
>>> handbook.card("r/chair-1").title
'Refill: Chair 1'

Every job of the command can be done from Python: the README shows them in a row. Lengths are in millimetres and times
in minutes, where a name does not say otherwise. All errors are `KitdocsError`s; a `PracticeError` holds its problems.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kitdocs.document.card import Card as Card
    from kitdocs.document.card import Handbook as Handbook
    from kitdocs.group.publishing import publish_group as publish_group
    from kitdocs.handbook.build_handbook import make_handbook as make_handbook
    from kitdocs.handbook.build_handbook import make_handbooks as make_handbooks
    from kitdocs.importing.into_folder import import_lists as import_lists
    from kitdocs.importing.photos_into_folder import import_photos as import_photos
    from kitdocs.library import import_workbook as import_workbook
    from kitdocs.library import record_printing as record_printing
    from kitdocs.library import undo_printing as undo_printing
    from kitdocs.library import write_drawings as write_drawings
    from kitdocs.library import write_replacements as write_replacements
    from kitdocs.library import write_survey as write_survey
    from kitdocs.library import write_workbook as write_workbook
    from kitdocs.planning.colours.palette import propose as propose
    from kitdocs.planning.figure import Figure as Figure
    from kitdocs.planning.plan import Plan as Plan
    from kitdocs.planning.plan import make_plan as make_plan
    from kitdocs.practice.model import Practice as Practice
    from kitdocs.practice.problems import KitdocsError as KitdocsError
    from kitdocs.practice.problems import PracticeError as PracticeError
    from kitdocs.practice.problems import Problem as Problem
    from kitdocs.practice.problems import PublishError as PublishError
    from kitdocs.practice.problems import TargetError as TargetError
    from kitdocs.practice.reading.reader import read_practice as read_practice
    from kitdocs.practice.reading.undesigned import read_undesigned as read_undesigned
    from kitdocs.practice.schema import schemas as schemas
    from kitdocs.proposing.demand import Demand as Demand
    from kitdocs.proposing.proposals import propose_designs as propose_designs
    from kitdocs.publish.handbook_folder import publish_handbook as publish_handbook
    from kitdocs.report.build_report import make_reports as make_reports
    from kitdocs.report.tables import make_tables as make_tables
    from kitdocs.report.tables import plan_tables as plan_tables
    from kitdocs.revisions.replacements import Since as Since
    from kitdocs.revisions.replacements import since_printed as since_printed
    from kitdocs.starter import start as start
    from kitdocs.starter.words_file import write_words as write_words
    from kitdocs.version import __version__ as __version__

#: Public names by the module that defines them. A name is imported when it is first used, so `import kitdocs` is quick.
_DEFINED_IN = {
    "document.card": ("Card", "Handbook"),
    "group.publishing": ("publish_group",),
    "handbook.build_handbook": ("make_handbook", "make_handbooks"),
    "importing.into_folder": ("import_lists",),
    "importing.photos_into_folder": ("import_photos",),
    "library": (
        "import_workbook",
        "record_printing",
        "undo_printing",
        "write_drawings",
        "write_replacements",
        "write_survey",
        "write_workbook",
    ),
    "planning.colours.palette": ("propose",),
    "planning.figure": ("Figure",),
    "planning.plan": ("Plan", "make_plan"),
    "practice.reading.reader": ("read_practice",),
    "practice.model": ("Practice",),
    "practice.problems": ("KitdocsError", "PracticeError", "Problem", "PublishError", "TargetError"),
    "practice.reading.undesigned": ("read_undesigned",),
    "practice.schema": ("schemas",),
    "proposing.demand": ("Demand",),
    "proposing.proposals": ("propose_designs",),
    "publish.handbook_folder": ("publish_handbook",),
    "report.build_report": ("make_reports",),
    "report.tables": ("make_tables", "plan_tables"),
    "revisions.replacements": ("Since", "since_printed"),
    "starter": ("start",),
    "starter.words_file": ("write_words",),
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
