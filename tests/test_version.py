"""The version and the licence: stated once, and said alike by the command, the package and its metadata."""

from __future__ import annotations

import json
import re
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

import pytest
from asking import Ask
from packaging.licenses import canonicalize_license_expression
from packaging.version import Version

import kitdocs

ROOT = Path(__file__).parent.parent


def test_the_command_and_the_package_say_the_same_version(ask: Ask) -> None:
    run = ask("--version")
    assert (run.status, run.out) == (0, f"kitdocs {kitdocs.__version__}\n")
    assert str(Version(kitdocs.__version__)) == kitdocs.__version__


def test_the_version_is_written_in_one_file_only() -> None:
    stated = re.compile(rf"version(?:__)?\b.*['\"]{re.escape(kitdocs.__version__)}['\"]")
    files = [ROOT / "pyproject.toml", *sorted((ROOT / "kitdocs").rglob("*.py"))]
    assert [f.name for f in files if stated.search(f.read_text("utf-8"))] == ["version.py"]


def test_the_licence_is_an_spdx_expression_and_its_text_is_there() -> None:
    # PEP 639: `license` holds an SPDX expression, `license-files` names the text.
    text = (ROOT / "pyproject.toml").read_text("utf-8")
    (expression,) = re.findall(r'^license = "(.*)"$', text, re.M)
    assert canonicalize_license_expression(expression) == expression == "MIT"
    assert 'license-files = ["LICENSE"]' in text
    assert (ROOT / "LICENSE").read_text("utf-8").startswith(f"{expression} License")


def test_installed_metadata_says_the_same() -> None:
    try:
        installed = distribution("kitdocs")
    except PackageNotFoundError:
        pytest.skip("kitdocs runs from its source tree, without having been installed")
    # PEP 610: where it was installed from. Another folder's version is no business of this one.
    source = json.loads(installed.read_text("direct_url.json") or "{}").get("url", ROOT.as_uri())
    if source != ROOT.as_uri():
        pytest.skip("the kitdocs that is installed is another folder's")
    assert installed.version == kitdocs.__version__


def test_the_changelog_names_this_version_and_what_is_not_released_yet() -> None:
    # The form of "Keep a Changelog 1.1.0": newest first, each with its date.
    headings = re.findall(r"^## \[(.+?)\](?: - (\S+))?$", (ROOT / "CHANGELOG.md").read_text("utf-8"), re.M)
    assert headings[0] == ("Unreleased", "")
    released, date = headings[1]
    assert released == kitdocs.__version__
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", date)
