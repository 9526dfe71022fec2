"""The guide, made once for each kitdocs, in the user's cache folder or where it is wanted."""

from __future__ import annotations

import os
import sys
import webbrowser
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path

from kitdocs.cache import key_of, user_cache, user_folder
from kitdocs.errors import KitdocsError
from kitdocs.guide.chapters import make_guide, written, written_names
from kitdocs.guide.commands import ToldCommand
from kitdocs.publish.folder import refuse_foreign, write_folder
from kitdocs.publish.guide_folder import guide_files


def write_guide(commands: Sequence[ToldCommand], to: Path | None, tell: Callable[[str], None]) -> Path:
    """Write the guide to a folder, or to one of its own in the user's cache folder; return where it is.

    Raises `KitdocsError` where nothing may be kept, `TargetError` where the folder holds what kitdocs did not write.
    """
    own = user_folder()
    folder = to or (own and own / "guide")
    if folder is None:
        raise KitdocsError("the guide needs a folder, as nothing is kept (KITDOCS_CACHE=off); name one: --to OUT")
    refuse_foreign(folder)
    cache = user_cache()
    key = key_of("guide", [asdict(one) for one in commands], {name: written(name) for name in written_names()})
    files: Mapping[str, bytes] | None = cache.get(key)
    if files is None:
        tell("writing the guide")
        files = guide_files(make_guide(commands))
        cache.put(key, files)
    write_folder(folder, files)
    return folder


def opened_guide(folder: Path) -> str:
    """Open the guide in a browser, if a person sits at a terminal that has one; return what to say of it."""
    address = (folder / "index.html").resolve().as_uri()
    seen = sys.stdout.isatty() and (os.name == "nt" or sys.platform == "darwin" or bool(os.environ.get("DISPLAY")))
    opened = seen and webbrowser.open(address)
    return f"opened {address}" if opened else f"open {address}"
