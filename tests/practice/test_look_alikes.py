"""Two instruments in one pouch that have the same picture: warned of, until one of them gets a picture of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from bad_inputs import assembled, outcome
from PIL import Image

SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 18 22"><path d="M2 2 H16 V{y}"/></svg>'
ALIKE = "have the same picture on the card of Reposition"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = assembled("look-alike-in-a-pouch", tmp_path)
    (made / "drawings").mkdir()
    (made / "photos").mkdir()
    return made


def _draw(folder: Path, instrument: str, y: int) -> None:
    (folder / "drawings" / f"{instrument}.svg").write_text(SVG.format(y=y), "utf-8")


def _replace_drawings_by_photos(folder: Path) -> None:
    settings = folder / "practice.yaml"
    settings.write_text(settings.read_text("utf-8") + "photos: {instruments: instead}\n", "utf-8")


def test_an_own_drawing_tells_one_from_the_other(folder: Path) -> None:
    assert ALIKE in outcome(folder)
    _draw(folder, "remover", 20)
    assert outcome(folder) == ""


def test_two_own_drawings_that_show_the_same_tell_nothing(folder: Path) -> None:
    for instrument in ("remover", "holder"):
        _draw(folder, instrument, 20)
    assert ALIKE in outcome(folder)
    _draw(folder, "holder", 19)
    assert outcome(folder) == ""


def test_a_photo_tells_one_from_the_other_where_it_replaces_the_drawing(folder: Path) -> None:
    Image.new("RGB", (30, 20)).save(folder / "photos" / "remover.png")
    assert ALIKE in outcome(folder), "beside the drawing there is no room for it on the card of a pouch"
    _replace_drawings_by_photos(folder)
    assert outcome(folder) == ""


def test_a_photo_tells_what_no_drawing_fits_from_another(folder: Path) -> None:
    file = folder / "instruments.yaml"
    file.write_text(file.read_text("utf-8").replace("drawing: bracket-holder", "drawing: other-tweezers"), "utf-8")
    assert ALIKE in outcome(folder)
    Image.new("RGB", (30, 20)).save(folder / "photos" / "remover.png")
    assert outcome(folder) == "", "it stands in place of the neutral drawing, whatever practice.yaml says"


def test_two_instruments_with_the_same_photo_are_alike(folder: Path) -> None:
    _replace_drawings_by_photos(folder)
    for instrument, shade in (("remover", 10), ("holder", 10)):
        Image.new("RGB", (30, 20), (shade, 0, 0)).save(folder / "photos" / f"{instrument}.png")
    assert ALIKE in outcome(folder)
    Image.new("RGB", (30, 20), (99, 0, 0)).save(folder / "photos" / "holder.png")
    assert outcome(folder) == ""


def test_the_same_instrument_twice_is_no_look_alike(tmp_path: Path) -> None:
    made = assembled("unused", tmp_path)
    pouches = made / "pouches.yaml"
    pouches.write_text(pouches.read_text("utf-8").replace("    - holder\n", "    - holder\n    - holder\n"), "utf-8")
    assert "same picture" not in outcome(made)
