"""Where something lies by the office's own list is kept as a note; the places that a folder states stay as they are."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kitdocs.importing.into_folder import import_lists
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.store_places import packs_kept_at

#: `Cabinet 3` is the office's word for it, no place of room.yaml; D3 is one, and is not taken for a decision either.
LIST = """\
Instrument,Quantity,Length,Width,Location
Mouth mirror,45,165 mm,22 mm,Cabinet 3
Howe plier,9,150 mm,30 mm,D3
Tweed loop plier,2,150 mm,30 mm,D3
"""


@pytest.fixture
def ours(tmp_path: Path) -> Path:
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    return Path(shutil.copytree("example_practice", tmp_path / "ours"))


def test_the_location_of_a_list_is_a_comment_and_no_place(ours: Path) -> None:
    import_lists([ours.parent / "list.csv"], ours, replace=True)
    written = (ours / "instruments.yaml").read_text("utf-8")
    new = written[written.index("tweed-loop-plier:") :].split("\n\n")[0]
    assert "D3" in new and "place:" not in new
    assert read_practice(ours).instruments["tweed-loop-plier"].place is None


def test_a_place_that_the_folder_states_stays(ours: Path) -> None:
    text = (ours / "instruments.yaml").read_text("utf-8")
    (ours / "instruments.yaml").write_text(text.replace("\nhowe:\n", "\nhowe:\n  place: D3\n"), "utf-8")
    before = packs_kept_at(read_practice(ours))
    import_lists([ours.parent / "list.csv"], ours, replace=True)
    after = read_practice(ours)
    assert packs_kept_at(after) == before and len(before) == 21
    assert after.instruments["howe"].place == "D3"
