"""What many tests start from: the example practice, read and worked out once."""

from __future__ import annotations

from pathlib import Path

import pytest

from kitdocs.handbook.card import Handbook
from kitdocs.handbook.make import make_handbooks
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice import read_practice
from kitdocs.practice.model import Practice

EXAMPLE = Path(__file__).parent.parent / "example_practice"


@pytest.fixture(scope="session")
def example() -> Practice:
    return read_practice(EXAMPLE)


@pytest.fixture(scope="session")
def example_plan(example: Practice) -> Plan:
    return make_plan(example, days=200)


@pytest.fixture(scope="session")
def example_handbooks(example: Practice, example_plan: Plan) -> tuple[Handbook, ...]:
    return make_handbooks(example, example_plan)
