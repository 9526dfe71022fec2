"""Results of earlier runs, kept in the user's cache folder under a digest of everything that they depend on.

A key covers the input, the source of kitdocs with its templates, and the versions of the packages that it stands on, so
a result never has to be declared stale. Nothing is trusted blindly: an entry carries its own digest, and one that is
torn or changed counts as missing. Each entry is a file that appears whole, so several processes can share the folder;
entries that were not used for longest are evicted. A folder that cannot be used is no error: results are made anew.
"""

from __future__ import annotations

import hashlib
import io
import os
import pickle
import platform
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

import platformdirs

from kitdocs.extensions import installed
from kitdocs.shipped import shipped_folder

#: ``off``, or the folder to use instead of the user's cache folder.
VARIABLE = "KITDOCS_CACHE"

#: Most bytes kept: some ten states of a large handbook.
MOST_BYTES = 512 * 2**20

#: Python packages that a result may depend on.
PACKAGES = (
    "babel",
    "coloraide",
    "fontpkg-noto-sans",
    "fontpkg-rubik",
    "jinja2",
    "markdown",
    "pikepdf",
    "pillow",
    "pydantic",
    "pypdfium2",
    "pyyaml",
    "qrcode",
    "typst",
    "xlsxwriter",
    "zxing-cpp",
)

#: Modules whose classes a kept result may consist of: data, nothing that acts.
_MODULES = ("kitdocs.", "decimal", "types", "datetime", "collections", "pathlib")
_BUILTINS = ("dict", "frozenset", "set", "list", "tuple", "getattr")


#: Bytes of the digest before each value.
_DIGEST = hashlib.sha256().digest_size


class Cache:
    """Values by key. Without a folder, nothing is kept and nothing is found."""

    def __init__(self, folder: Path | None, *, fresh: bool = False, most_bytes: int = MOST_BYTES) -> None:
        """`fresh`: nothing is found, but what is made is kept."""
        self._folder = folder
        self._fresh = fresh
        self._most_bytes = most_bytes

    def get(self, key: str) -> Any:
        """Return what is kept under a key, or None."""
        if self._folder is None or self._fresh:
            return None
        path = self._folder / key
        try:
            content = path.read_bytes()
            os.utime(path)
            digest, value = content[:_DIGEST], content[_DIGEST:]
            return _Unpickler(io.BytesIO(value)).load() if hashlib.sha256(value).digest() == digest else None
        except Exception:  # what cannot be read, whatever the reason, is missing
            return None

    def put(self, key: str, value: object) -> None:
        """Keep a value that consists of data alone under a key."""
        if self._folder is None:
            return
        data = pickle.dumps(value)
        try:
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            written, beside = tempfile.mkstemp(dir=self._folder, prefix=".")
            with os.fdopen(written, "wb") as file:
                file.write(hashlib.sha256(data).digest() + data)
            Path(beside).replace(self._folder / key)
        except OSError:
            return

    def evict(self) -> None:
        """Remove the entries that were not used for longest until the rest is small enough."""
        if self._folder is None:
            return
        try:
            entries = [(entry.stat(), entry.path) for entry in os.scandir(self._folder)]
            size = sum(stat.st_size for stat, _ in entries)
            for stat, path in sorted(entries, key=lambda entry: entry[0].st_mtime):
                if size <= self._most_bytes:
                    return
                Path(path).unlink(missing_ok=True)
                size -= stat.st_size
        except OSError:
            return


class _Unpickler(pickle.Unpickler):
    """Builds data classes and nothing else."""

    def find_class(self, module: str, name: str) -> Any:
        known = module.startswith(_MODULES) or (module == "builtins" and name in _BUILTINS)
        if not known:
            raise pickle.UnpicklingError(f"{module}.{name} is no data")
        return super().find_class(module, name)


def user_folder() -> Path | None:
    """Return the folder in which this user's commands keep what can be made again; None where nothing is kept."""
    chosen = os.environ.get(VARIABLE, "")
    if chosen == "off":
        return None
    return Path(chosen) if chosen else platformdirs.user_cache_path("kitdocs")


def user_cache(*, fresh: bool = False) -> Cache:
    """Return the cache that this user's commands share."""
    folder = user_folder()
    return Cache(folder and folder / "results", fresh=fresh)


def key_of(name: str, *inputs: object) -> str:
    """Return the key of a result: of the function or command `name`, for inputs of plain data, by this kitdocs."""
    digest = hashlib.sha256()
    _add(digest, (_fingerprint(), name, inputs))
    return digest.hexdigest()


@cache
def _fingerprint() -> bytes:
    """Return a digest of the source of kitdocs, its templates, and the versions of what it stands on or is added."""
    digest = hashlib.sha256()
    package = Path(__file__).parent
    for folder, patterns in ((package, "*.py"), (shipped_folder("site_templates"), "*")):
        for path in sorted(folder.rglob(patterns)):
            if path.is_file():
                _add(digest, (path.relative_to(folder).as_posix(), path.read_bytes()))
    _add(digest, (platform.python_version(), [(name, _version(name)) for name in PACKAGES], installed()))
    return digest.digest()


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return ""


def _add(digest: Any, value: object) -> None:
    """Add plain data to a digest, so that different data never gives the same bytes."""
    if is_dataclass(value) and not isinstance(value, type):
        value = {field.name: getattr(value, field.name) for field in fields(value)}
    if isinstance(value, Mapping):
        value = [(name, value[name]) for name in sorted(value)]
    if isinstance(value, bytes | str | int | float | None):
        content = value if isinstance(value, bytes) else repr(value).encode()
        digest.update(f"{type(value).__name__} {len(content)} ".encode() + content)
    elif isinstance(value, Iterable):
        parts = list(value)
        digest.update(f"list {len(parts)} ".encode())
        for part in parts:
            _add(digest, part)
    else:
        raise TypeError(f"{type(value).__name__} is no plain data")
