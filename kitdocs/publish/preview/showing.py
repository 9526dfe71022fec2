"""The latest proof, and whoever waits for the next one."""

from __future__ import annotations

import secrets
import threading

from kitdocs.publish.handbook_folder import sheet
from kitdocs.publish.preview.proofs import Proof


class Showing:
    """The latest proof, for many readers at once. `run` is another one each time the preview is started."""

    def __init__(self, proof: Proof) -> None:
        self.run = secrets.token_hex(4)
        self._proof = proof
        self._news = threading.Condition()
        self._sheets: dict[str, bytes] = {}
        self._rendering = threading.Lock()

    @property
    def proof(self) -> Proof:
        return self._proof

    def name(self, proof: Proof) -> str:
        """The proof's name, the same in no other run."""
        return f"{self.run}.{proof.number}"

    def show(self, proof: Proof) -> None:
        """Show `proof` from now on, and wake everybody who waits for it."""
        with self._news:
            self._proof = proof
            self._news.notify_all()

    def after(self, number: int, seconds: float) -> Proof | None:
        """A later proof than that of `number`, as soon as there is one; None when there is none for so long."""
        with self._news:
            if self._news.wait_for(lambda: self._proof.number > number, timeout=seconds):
                return self._proof
            return None

    def sheet(self, path: str) -> bytes | None:
        """The PDF at `path`, set when it is asked for. None when the handbook has none there.

        Raises `PublishError` when it cannot be set.
        """
        proof = self._proof
        with self._rendering:
            key = f"{proof.number} {path}"
            if key not in self._sheets:
                pdf = sheet(proof.handbooks, path, proof.reports)
                if pdf is None:
                    return None
                self._sheets = {key: pdf}  # a proof is read, not kept
            return self._sheets[key]
