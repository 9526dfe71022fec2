"""kitdocs: one folder describes a practice's procedure sets; kitdocs checks it, works it out, and prints the handbook.

>>> practice = read_practice("example_practice")
>>> plan = make_plan(practice)
>>> {figure.id: figure.value for figure in plan.figures}["stock.core"]
22
>>> publish_handbook(make_handbooks(practice, plan), to="out", tables=plan_tables(practice, plan))
"""

from kitdocs.document.card import Card, Handbook
from kitdocs.handbook.build_handbook import make_handbook, make_handbooks
from kitdocs.planning.figure import Figure
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice import read_practice
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import KitdocsError, PracticeError, Problem, PublishError
from kitdocs.practice.schema import schemas
from kitdocs.publish.handbook_folder import publish_handbook
from kitdocs.report.tables import plan_tables
from kitdocs.starter import start
from kitdocs.version import __version__

__all__ = [
    "Card",
    "Figure",
    "Handbook",
    "KitdocsError",
    "Plan",
    "Practice",
    "PracticeError",
    "Problem",
    "PublishError",
    "__version__",
    "make_handbook",
    "make_handbooks",
    "make_plan",
    "plan_tables",
    "publish_handbook",
    "read_practice",
    "schemas",
    "start",
]
