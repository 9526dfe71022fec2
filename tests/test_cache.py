"""Results kept between runs: found when nothing they depend on changed, and never when they are torn."""

from __future__ import annotations

import hashlib
import os
import pickle
import shutil
import subprocess
import sys
import time
from decimal import Decimal
from pathlib import Path

import platformdirs
import pytest

from kitdocs import cache as cache_module
from kitdocs.cache import PACKAGES, Cache, key_of, user_cache
from kitdocs.command.kept import Results, build_handbook, content_of
from kitdocs.planning.figure import Input
from kitdocs.starter import start

KEY = key_of("test", "input")

MANY_WRITES = """
import sys
from pathlib import Path
from kitdocs.cache import Cache
cache = Cache(Path(sys.argv[1]), most_bytes=20_000)
value = sys.argv[2].encode() * 3_000
for number in range(200):
    cache.put("key", value)
    found = cache.get("key")
    assert found is None or found in (b"a" * 3_000, b"b" * 3_000), "torn"
    cache.evict()
"""


def test_value_is_found_again(tmp_path: Path) -> None:
    Cache(tmp_path).put(KEY, b"made")
    assert Cache(tmp_path).get(KEY) == b"made"
    assert Cache(tmp_path).get(key_of("test", "other input")) is None


@pytest.mark.parametrize(
    "spoil", [lambda entry: entry[:-1], lambda entry: entry[:40] + b"?" + entry[41:], lambda _: b""]
)
def test_spoiled_entry_counts_as_missing(spoil, tmp_path: Path) -> None:
    Cache(tmp_path).put(KEY, b"a value that is longer than its digest, by a few words")
    (tmp_path / KEY).write_bytes(spoil((tmp_path / KEY).read_bytes()))
    assert Cache(tmp_path).get(KEY) is None


def test_fresh_finds_nothing_and_keeps_what_is_made(tmp_path: Path) -> None:
    Cache(tmp_path).put(KEY, b"old")
    fresh = Cache(tmp_path, fresh=True)
    assert fresh.get(KEY) is None
    fresh.put(KEY, b"new")
    assert Cache(tmp_path).get(KEY) == b"new"


def test_folder_that_cannot_be_used_is_no_error(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    cache = Cache(tmp_path / "file" / "results")
    cache.put(KEY, b"made")
    assert cache.get(KEY) is None
    cache.evict()


def test_longest_unused_entries_are_evicted(tmp_path: Path) -> None:
    cache = Cache(tmp_path, most_bytes=3_500)
    for age, name in enumerate(("newest", "second", "third", "oldest")):
        cache.put(name, bytes(1000))
        os.utime(tmp_path / name, (time.time() - 100 * age,) * 2)
    assert cache.get("third")  # and so it is the newest
    cache.evict()
    assert {path.name for path in tmp_path.iterdir()} == {"newest", "second", "third"}


@pytest.mark.whole
def test_two_processes_share_the_folder(tmp_path: Path) -> None:
    calls = [[sys.executable, "-c", MANY_WRITES, str(tmp_path), letter] for letter in "ab"]
    writers = [subprocess.Popen(call, stderr=subprocess.PIPE, text=True) for call in calls]
    for writer in writers:
        assert writer.communicate()[1] == ""
    assert all(writer.returncode == 0 for writer in writers)
    assert {path.name for path in tmp_path.iterdir()} <= {"key"}, "no half-written file is left"


def test_object_is_found_again(tmp_path: Path) -> None:
    made = (Input(name="share", value=Decimal("0.5"), source="procedures.yaml"), {"a": 1})  # type: ignore[arg-type]
    Cache(tmp_path).put(KEY, made)
    assert Cache(tmp_path).get(KEY) == made


class Acting:
    def __reduce__(self) -> tuple[object, tuple[str]]:
        return os.system, ("exit 1",)


@pytest.mark.parametrize("value", [pickle.dumps(Acting()), pickle.dumps(print), b"no pickle"])
def test_entry_that_is_no_data_counts_as_missing(value: bytes, tmp_path: Path) -> None:
    (tmp_path / KEY).write_bytes(hashlib.sha256(value).digest() + value)
    assert Cache(tmp_path).get(KEY) is None


def test_key_depends_on_every_input_and_on_nothing_else() -> None:
    keys = [
        key_of("render", {"a": b"1", "b": b"2"}),
        key_of("render", {"a": b"12", "b": b""}),
        key_of("render", {"a": "1", "b": b"2"}),
        key_of("query", {"a": b"1", "b": b"2"}),
        key_of("render", [b"1", b"2"]),
        key_of("render", [[b"1"], b"2"]),
    ]
    assert len(set(keys)) == len(keys)
    assert key_of("render", {"b": b"2", "a": b"1"}) == keys[0], "the order of a mapping has no meaning"


def test_key_changes_with_the_version_of_a_package(monkeypatch: pytest.MonkeyPatch) -> None:
    before = cache_module._fingerprint.__wrapped__()
    assert cache_module._fingerprint.__wrapped__() == before
    monkeypatch.setattr(cache_module, "version", lambda package: "99" if package == "typst" else "1")
    assert cache_module._fingerprint.__wrapped__() != before


def test_key_changes_with_a_template(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    templates = tmp_path / "site_templates"
    shutil.copytree(cache_module.shipped_folder("site_templates"), templates)
    monkeypatch.setattr(cache_module, "shipped_folder", lambda name: templates)
    before = cache_module._fingerprint.__wrapped__()
    with (templates / "print" / "page.typ").open("a") as template:
        template.write("// another margin\n")
    assert cache_module._fingerprint.__wrapped__() != before


def test_packages_that_results_depend_on_are_installed() -> None:
    assert all(cache_module._version(package) for package in PACKAGES)


def test_cache_can_be_turned_off_or_put_elsewhere(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("KITDOCS_CACHE", "off")
    assert user_cache()._folder is None
    monkeypatch.setenv("KITDOCS_CACHE", str(tmp_path))
    assert user_cache()._folder == tmp_path / "results"
    monkeypatch.delenv("KITDOCS_CACHE")
    assert user_cache()._folder == platformdirs.user_cache_path("kitdocs") / "results"


def test_content_of_a_folder_is_every_file_that_is_read(tmp_path: Path) -> None:
    folder = tmp_path / "practice"
    start(folder)
    before = content_of(folder)
    (folder / "out").mkdir()
    (folder / "out" / "index.html").write_text("a handbook inside its practice folder")
    assert {path: digest for path, digest in content_of(folder).items() if path != "out"} == before
    for name in ("pages/notes.md", "photos/mirror.jpg", "printed/2026-11-26-abcde.yaml", "words.it.yaml"):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text("new")
        assert content_of(folder) != before
        before = content_of(folder)
    assert content_of(tmp_path / "nowhere") == {}


def test_result_of_a_folder_that_was_changed_meanwhile_is_not_kept(tmp_path: Path) -> None:
    folder = tmp_path / "practice"
    start(folder)
    results = Results(Cache(tmp_path / "cache"), folder)
    assert results.result("made", lambda: "first") == "first"
    assert results.result("made", lambda: "second") == "first"

    def changing() -> str:
        (folder / "pages" / "new.md").write_text("# New")
        return "of the new page, or not"

    assert results.result("other", changing) == "of the new page, or not"
    assert results.result("other", lambda: "made again") == "made again"


def test_what_commands_keep_is_bounded(tmp_path: Path) -> None:
    folder = tmp_path / "practice"
    start(folder)
    for number in range(5):
        (folder / "pages" / "new.md").write_text(f"# Page {number}")
        results = Results(Cache(tmp_path / "cache", most_bytes=2_500), folder)
        results.result("made", lambda: bytes(1_000))
    assert len(list((tmp_path / "cache").iterdir())) == 2


@pytest.mark.whole
def test_kept_results_give_the_same_bytes_as_fresh_ones(tmp_path: Path) -> None:
    folder = tmp_path / "practice"
    start(folder)
    cache = Cache(tmp_path / "cache")
    steps: list[str] = []
    first = build_handbook(folder, cache, steps.append)
    assert len(first.files) > 50
    steps.clear()
    again = build_handbook(folder, cache, steps.append)
    assert again == first
    assert steps == [], "nothing was made"
    chairs = (folder / "chairs.yaml").read_text("utf-8")
    assert ": auto" in chairs
    (folder / "chairs.yaml").write_text(chairs.replace(": auto", ": 7", 1), "utf-8")
    kept = build_handbook(folder, cache, steps.append)
    fresh = build_handbook(folder, Cache(tmp_path / "cache", fresh=True), steps.append)
    assert kept != first
    assert kept.problems == fresh.problems
    assert {path for path in kept.files if kept.files[path] != fresh.files[path]} == set()
    assert kept.files.keys() == fresh.files.keys()
