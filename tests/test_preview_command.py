"""`kitdocs preview` watches the folder of that name, whatever happens to it."""

from __future__ import annotations

import queue
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from kitdocs.command import preview


@pytest.fixture
def saves(tmp_path: Path) -> Iterator[tuple[Path, queue.Queue[None]]]:
    """A watched folder, and a queue that gets one entry for each save that the preview hears of."""
    folder = tmp_path / "practice"
    folder.mkdir()
    heard: queue.Queue[None] = queue.Queue()
    stop = threading.Event()

    def listen() -> None:
        for _ in preview._saves(folder, stop):
            heard.put(None)

    listening = threading.Thread(target=listen)
    listening.start()
    yield folder, heard
    stop.set()
    listening.join(20)
    assert not listening.is_alive()


def hear(heard: queue.Queue[None], folder: Path, text: str) -> None:
    """Saves until the preview hears of it: the first save may come before it listens."""
    for turn in range(40):
        (folder / "practice.yaml").write_text(f"{text} {turn}", "utf-8")
        try:
            heard.get(timeout=0.5)
        except queue.Empty:
            continue
        return
    pytest.fail("no save was heard")


def settle(heard: queue.Queue[None]) -> None:
    """Wait until no save has been heard for a second, so that the next one heard is a new one."""
    try:
        while True:
            heard.get(timeout=1)
    except queue.Empty:
        return


@pytest.mark.whole
def test_a_folder_that_went_and_came_back_is_watched_anew(saves: tuple[Path, queue.Queue[None]]) -> None:
    folder, heard = saves
    hear(heard, folder, "first")
    settle(heard)
    shutil.rmtree(folder)
    heard.get(timeout=20)  # that it is gone
    folder.mkdir()
    heard.get(timeout=20)  # that it is back
    while not heard.empty():
        heard.get()
    hear(heard, folder, "second")
