"""What kitdocs needs: locked with hashes, from no named host, under a licence that is listed."""

from __future__ import annotations

import re
from pathlib import Path

from packaging.requirements import Requirement
from packaging.version import Version

ROOT = Path(__file__).parent.parent
LOCK = (ROOT / ".ci" / "lock.txt").read_text("utf-8")
LICENCES = dict(re.findall(r"^\| (.+?) \| (.+?) \|$", (ROOT / ".ci" / "LICENCES.md").read_text("utf-8"), re.M))


def needed() -> list[Requirement]:
    """What pyproject.toml names; read as text, because Python 3.10 reads no TOML."""
    found = re.search(r"^dependencies = \[\n(.*?)^\]", (ROOT / "pyproject.toml").read_text("utf-8"), re.M | re.S)
    assert found
    return [Requirement(line) for line in re.findall(r'"([^"]+)"', found[1])]


def test_everything_needed_is_locked_at_a_version_that_is_allowed() -> None:
    locked: dict[str, list[Version]] = {}
    for name, version in re.findall(r"^([a-z0-9-]+)==([^ \\]+)", LOCK, re.M):
        locked.setdefault(name, []).append(Version(version))
    assert len(needed()) > 10
    for requirement in needed():
        assert all(version in requirement.specifier for version in locked[requirement.name.lower()])


def test_every_locked_package_has_hashes_and_no_host_is_named() -> None:
    entries = re.split(r"\n(?=[a-z])", LOCK.strip())
    assert len(entries) > 20
    assert all(re.search(r"--hash=sha256:[0-9a-f]{64}", entry) for entry in entries)
    assert not re.search(r"https?:|index-url|find-links|file:", LOCK)


def test_every_locked_package_has_its_licence_listed() -> None:
    names = set(re.findall(r"^([a-z0-9-]+)==", LOCK, re.M))
    assert names <= set(LICENCES)
    assert not [name for name in names if "not installed" in LICENCES[name] or "see the" in LICENCES[name]]
