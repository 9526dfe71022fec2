"""The service worker: keeps the site for when there is no network, and never answers in the network's place."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping

from kitdocs.shipped import shipped_folder


def worker(files: Mapping[str, bytes]) -> bytes:
    """The worker that keeps `files`. Its version is their content, so the same site has the same worker."""
    digest = hashlib.sha256()
    for path, content in sorted(files.items()):
        digest.update(f"{path} {hashlib.sha256(content).hexdigest()}\n".encode())
    script = (shipped_folder("site_templates") / "site" / "worker.js").read_text("utf-8")
    digest.update(script.encode())
    head = f'"use strict";\nconst VERSION = "{digest.hexdigest()[:16]}";\nconst FILES = {json.dumps(sorted(files))};\n'
    return (head + script).encode()
