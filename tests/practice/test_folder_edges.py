"""Folders and files that cannot be kept in a repository, or that are made better by a test."""

from __future__ import annotations

import io
import os
import struct
import time
import zlib
from pathlib import Path
from typing import Any

import pytest
from bad_inputs import VALID, assembled, outcome
from PIL import Image

from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice


@pytest.fixture
def practice(tmp_path: Path) -> Path:
    """A copy of the valid practice, to be spoilt."""
    return assembled(VALID.name, tmp_path)


def test_a_folder_that_is_not_there_gets_one_error_that_says_how_to_begin(tmp_path: Path) -> None:
    folder = tmp_path / "nowhere"
    assert outcome(folder) == (
        f"{folder}:1:1: folder: there is no such folder\n"
        f"    'kitdocs start {folder}' makes a small practice folder to begin with"
    )


def test_an_empty_folder_gets_one_error_that_says_how_to_begin(tmp_path: Path) -> None:
    assert outcome(tmp_path) == (
        f"{tmp_path}:1:1: folder: the folder holds none of the files of a practice (practice.yaml, ...)\n"
        f"    'kitdocs start {tmp_path}' makes a small practice folder to begin with"
    )


def test_a_file_in_place_of_the_folder_is_named(practice: Path) -> None:
    assert outcome(practice / "sets.yaml") == (
        f"{practice / 'sets.yaml'}:1:1: folder: this is a file, not a practice folder\n"
        f"    name the folder around it: {practice}"
    )


def test_a_file_of_two_mebibytes_is_not_read(practice: Path) -> None:
    (practice / "sets.yaml").write_bytes(b"#" * 2 * 1024 * 1024)
    assert outcome(practice) == (
        "sets.yaml:1:1: sets: the file is larger than 1 MiB (2,097,152 bytes), which is not read\n"
        "    is it really this file? A practice's files are a few pages long"
    )


def test_a_link_out_of_the_folder_is_not_followed(practice: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.yaml").write_text("core: {name: not ours}\n", encoding="utf-8")
    (practice / "sets.yaml").unlink()
    (practice / "sets.yaml").symlink_to(tmp_path / "secret.yaml")
    assert outcome(practice) == (
        "sets.yaml:1:1: sets: this is a link to something outside the practice folder, which is not read\n"
        "    put the file itself into the folder"
    )


def test_a_link_to_itself_is_not_followed_for_ever(practice: Path) -> None:
    (practice / "sets.yaml").unlink()
    (practice / "sets.yaml").symlink_to(practice / "sets.yaml")
    assert "sets.yaml:1:1: sets: " in outcome(practice)


def test_a_folder_of_photos_elsewhere_is_not_read(practice: Path, tmp_path: Path) -> None:
    (tmp_path / "album").mkdir()
    (practice / "photos").symlink_to(tmp_path / "album")
    assert "photos:1:1: photos: this is a link to something outside" in outcome(practice)


def test_a_link_that_stays_inside_is_read(practice: Path) -> None:
    (practice / "sets.yaml").rename(practice / "real.txt")
    (practice / "sets.yaml").symlink_to("real.txt")
    assert outcome(practice) == ""


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_in_place_of_a_file_does_not_hang(practice: Path) -> None:
    (practice / "sets.yaml").unlink()
    os.mkfifo(practice / "sets.yaml")
    assert outcome(practice) == "sets.yaml:1:1: sets: this is not a file"


def test_a_file_that_may_not_be_read_is_named(practice: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Permissions do not stop the superuser, under whom tests often run: the refusal is played.
    read = Path.read_bytes

    def refuse(path: Path) -> bytes:
        if path.name == "sets.yaml":
            raise PermissionError(13, "Permission denied")
        return read(path)

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert outcome(practice) == (
        "sets.yaml:1:1: sets: the file cannot be read: Permission denied\n    is it open elsewhere?"
    )


def test_a_byte_order_mark_is_no_mistake_and_moves_nothing(practice: Path) -> None:
    for name in ("sets.yaml", "stock.csv", "pages/house-rules.md"):
        (practice / name).write_bytes(b"\xef\xbb\xbf" + (VALID / name).read_bytes())
    assert outcome(practice) == ""
    assert read_practice(practice).places.key("sets", "core").column == 1


def test_a_table_may_have_tabs_between_its_cells_and_empty_ones_at_the_end(practice: Path) -> None:
    lines = (VALID / "stock.csv").read_text(encoding="utf-8").splitlines()
    for text in ("\n".join(lines).replace(",", "\t"), "\n".join(f"{line},," for line in lines)):
        (practice / "stock.csv").write_text(text, encoding="utf-8")
        assert outcome(practice) == ""
        assert read_practice(practice).stock == read_practice(VALID).stock


def test_windows_line_ends_move_nothing(practice: Path) -> None:
    for name in ("sets.yaml", "stock.csv", "pages/house-rules.md"):
        (practice / name).write_bytes((VALID / name).read_bytes().replace(b"\n", b"\r\n"))
    read = read_practice(practice)
    assert {path: str(place) for path, place in read.places.values.items()} == {
        path: str(place) for path, place in read_practice(VALID).places.values.items()
    }


def test_a_bomb_of_repeats_is_refused_at_once(practice: Path) -> None:
    lines = ["a: &a [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"b{i}: &b{i} [{', '.join(['*a' if i == 0 else f'*b{i - 1}'] * 10)}]" for i in range(40)]
    (practice / "sets.yaml").write_text("\n".join(lines), encoding="utf-8")
    start = time.process_time()
    assert "stand for more than 10,000 values" in outcome(practice)
    assert time.process_time() - start < 2


def test_brackets_without_end_are_refused_at_once(practice: Path) -> None:
    for opening in ("[", "{a: ", "- "):
        (practice / "sets.yaml").write_text(opening * 200_000, encoding="utf-8")
        start = time.process_time()
        assert "more than 20 deep" in outcome(practice)
        assert time.process_time() - start < 2


def test_a_picture_that_is_whole_is_kept(practice: Path) -> None:
    (practice / "photos").mkdir()
    for name in ("mirror.png", "core.jpg", "reposition.webp"):
        Image.new("RGB", (40, 30), "teal").save(practice / "photos" / name)
    assert {name: path.name for name, path in read_practice(practice).photos.items()} == {
        "core": "core.jpg",
        "mirror": "mirror.png",
        "reposition": "reposition.webp",
    }


def test_a_picture_that_would_take_too_much_memory_is_not_decoded(practice: Path) -> None:
    (practice / "photos").mkdir()
    for name, side in (("mirror", 7_500), ("cutter", 40_000)):  # the larger one is a bomb to the decoder itself
        (practice / "photos" / f"{name}.png").write_bytes(_png_header(side, side))
    told = outcome(practice)
    assert "photos/mirror.png:1:1: photos.mirror: the picture has more than 25 million pixels (7500 × 7500)" in told
    assert "photos/cutter.png:1:1: photos.cutter: the picture has more than 25 million pixels" in told


def test_a_png_cut_off_between_two_chunks_is_named(practice: Path) -> None:
    """Each chunk that is there has its right checksum; only the pixels of the lower half are missing."""
    (practice / "photos").mkdir()
    out = io.BytesIO()
    Image.effect_noise((400, 400), 80).save(out, "PNG")  # more than one IDAT chunk, which Pillow makes 64 KiB long
    data = out.getvalue()
    second = data.index(b"IDAT", data.index(b"IDAT") + 4) - 4
    (practice / "photos" / "mirror.png").write_bytes(data[:second] + data[-12:])  # and IEND, which is 12 bytes
    assert "photos/mirror.png:1:1: photos.mirror: the picture is broken" in outcome(practice)


@pytest.mark.parametrize(
    ("name", "side", "options", "most"),
    [("mirror.png", 5100, {}, 25), ("mirror.webp", 3500, {}, 12), ("mirror.jpg", 5100, {"progressive": True}, 25)],
)
@pytest.mark.whole
def test_pictures_that_are_decoded_whole_may_be_less_large(
    practice: Path, name: str, side: int, options: dict[str, Any], most: int
) -> None:
    (practice / "photos").mkdir()
    Image.new("RGB", (side, side), "teal").save(practice / "photos" / name, **options)
    assert f"the picture has more than {most} million pixels ({side} × {side})" in outcome(practice)


def test_a_broken_picture_is_named(practice: Path) -> None:
    (practice / "photos").mkdir()
    for name in ("mirror.png", "cutter.jpg", "holder.webp"):
        path = practice / "photos" / name
        Image.effect_noise((200, 200), 80).convert("RGB").save(path)
        path.write_bytes(path.read_bytes()[:-3000])
    (practice / "photos" / "pusher.jpg").write_bytes(b"not a picture")
    Image.new("RGB", (4, 4)).save(practice / "photos" / "weingart.jpg", format="PNG")
    told = outcome(practice)
    for name in ("mirror.png", "cutter.jpg", "holder.webp", "pusher.jpg", "weingart.jpg"):
        assert f"photos/{name}:1:1: " in told


def test_photos_are_told_apart_and_named_after_something(practice: Path) -> None:
    (practice / "photos").mkdir()
    for name in ("mirror.png", "mirror.jpg", "miror.png"):
        Image.new("RGB", (4, 4)).save(practice / "photos" / name)
    (practice / "photos" / "core.tiff").write_bytes(b"?")
    told = outcome(practice)
    assert "photos/mirror.png:1:1: photos.mirror: this is a second photo of 'mirror', beside 'mirror.jpg'" in told
    assert "photos/core.tiff:1:1: photos.core: this is not a picture that can be printed" in told
    assert "did you mean 'mirror'?" in told


#: The brand in the first box of a file, after its size. Source: ISO/IEC 14496-12, file type box (from memory).
PHONES = {
    "core.heic": b"",
    "core.HEIF": b"",
    "core.avif": b"",
    "core.jpg": b"heic",
    "core.png": b"mif1",
    "core.webp": b"avif",
}


@pytest.mark.parametrize("name", PHONES)
def test_a_photo_as_phones_take_them_is_named_with_a_remedy(practice: Path, name: str) -> None:
    (practice / "photos").mkdir()
    (practice / "photos" / name).write_bytes(b"\0\0\0\x18ftyp" + PHONES[name] + b"\0\0\0\0mif1heic")
    kind = "AVIF" if "avif" in name or PHONES[name] == b"avif" else "HEIC"
    told = outcome(practice)
    assert f"photos/{name}:1:1: photos.core: this is a {kind} photo, as phones take them" in told
    assert "save or send it as JPEG" in told


@pytest.mark.parametrize("suffix", ["png", "webp"])
def test_a_photo_that_may_lie_on_its_side_is_told_and_still_shown(practice: Path, suffix: str) -> None:
    (practice / "photos").mkdir()
    path = practice / "photos" / f"core.{suffix}"
    Image.new("RGB", (40, 30)).save(path, exif=b"Exif\0\0no such thing")
    told = outcome(practice)
    assert f"photos/core.{suffix}:1:1: photos.core: warning (picture): what the photo says of how the camera" in told
    assert set(read_practice(practice).photos) == {"core"}


def test_every_problem_is_a_value_with_a_place(practice: Path) -> None:
    (practice / "sets.yaml").write_text("core: 1\n", encoding="utf-8")
    (practice / "chairs.yaml").write_text("[]\n", encoding="utf-8")
    with pytest.raises(PracticeError) as caught:
        read_practice(practice)
    assert [str(p.place) for p in caught.value.problems] == ["chairs.yaml:1:1", "sets.yaml:1:7"]


def _png_header(width: int, height: int) -> bytes:
    """A PNG that claims a size and holds almost nothing."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")


def test_a_file_named_in_other_case_is_told_and_not_read(practice: Path) -> None:
    """macOS and Windows take Sets.yaml for sets.yaml; kitdocs never does, so that a folder reads alike everywhere."""
    (practice / "sets.yaml").rename(practice / "Sets.yaml")
    assert "rename 'Sets.yaml' to 'sets.yaml'" in outcome(practice)
