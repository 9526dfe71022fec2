"""Photos as a phone takes them, on their way into the folder: upright, small, in sRGB, nothing but pixels."""

from __future__ import annotations

import io
import struct
import sys
import zlib
from pathlib import Path

import pillow_heif
import pytest
from jpeg_segments import segments
from phone_photos import CANARIES, MEDIA, WRITES_ALL, canaries_in, is_upright, photo, scene
from PIL import Image, ImageCms, features

from kitdocs.importing.grids import UnreadableError
from kitdocs.importing.photo_files import FoundPhotos, photo_paths, read_photos
from kitdocs.practice.photos import LONGEST_PX
from kitdocs.practice.reading import photos as reading

HAS_AVIF = "avif" in features.modules and features.check("avif")
AVIF = pytest.mark.skipif(not HAS_AVIF, reason="this Pillow reads no AVIF")
KINDS = [pytest.param(kind, marks=AVIF) if kind == "avif" else kind for kind in MEDIA]


def read(folder: Path, **files: bytes) -> FoundPhotos:
    """What is found in a folder of these files; `a_jpg` is ``a.jpg``."""
    folder.mkdir(exist_ok=True)
    for name, data in files.items():
        (folder / name.replace("_", ".")).write_bytes(data)
    return read_photos(photo_paths([folder]))


def kept(found: FoundPhotos) -> Image.Image:
    (only,) = found.photos
    return Image.open(io.BytesIO(only.photo.jpeg))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photo_is_upright_however_the_phone_was_held(tmp_path: Path, kind: str, orientation: int) -> None:
    """A HEIC says it in its own properties, beside which its Exif data does not count (SOURCES: HEIF)."""
    picture = kept(read(tmp_path / "in", **{f"a_{kind}": photo(kind, orientation)}))
    assert picture.size == (320, 200) and is_upright(picture)


def test_a_second_reader_sees_the_same_heic(tmp_path: Path) -> None:
    """pillow-heif brings a libheif of its own, newer than that of pi-heif, which kitdocs reads with."""
    data = photo("heic", 6)
    theirs = pillow_heif.read_heif(io.BytesIO(data)).to_pillow()
    ours = kept(read(tmp_path / "in", a_heic=data))
    assert theirs.size == ours.size == (320, 200) and is_upright(theirs) and is_upright(ours)


@WRITES_ALL
def test_the_canaries_are_there_before(tmp_path: Path) -> None:
    assert canaries_in(photo("jpg")) == {*CANARIES, "gps"}
    for kind in ("png", "webp", "heic"):
        found = canaries_in(zlib_opened(photo(kind)))
        assert found >= {"exif", "note", "xmp", "gps"}, kind
        assert "icc" in found, kind


def zlib_opened(data: bytes) -> bytes:
    """A PNG keeps its profile compressed (iCCP): the file with that opened."""
    at = data.find(b"iCCP")
    if at < 0 or not data.startswith(b"\x89PNG"):
        return data
    size = int.from_bytes(data[at - 4 : at], "big")
    name, packed = data[at + 4 : at + 4 + size].split(b"\0", 1)
    return data + name + zlib.decompress(packed[1:])


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_but_pixels_is_left(tmp_path: Path, kind: str) -> None:
    (only,) = read(tmp_path / "in", **{f"a_{kind}": photo(kind, 6)}).photos
    assert canaries_in(only.photo.jpeg) == set()
    assert set(segments(only.photo.jpeg)) <= {0xE0, 0xDB, 0xC0, 0xC4, 0xDA}  # JFIF, tables, frame, scan
    picture = Image.open(io.BytesIO(only.photo.jpeg))
    assert not dict(picture.getexif()) and not {"icc_profile", "comment", "xmp", "exif"} & set(picture.info)


@pytest.mark.parametrize("kind", KINDS)
def test_the_colours_are_those_that_its_profile_means(tmp_path: Path, kind: str) -> None:
    """Red and blue are exchanged in the table of tags of the profile (ICC.1, 7.3): its red is blue."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    red, blue = profile.index(b"rXYZ", 128), profile.index(b"bXYZ", 128)
    profile[red : red + 4], profile[blue : blue + 4] = b"bXYZ", b"rXYZ"
    data = photo(kind, image=Image.new("RGB", (64, 64), (200, 30, 30)), icc_profile=bytes(profile))
    r, g, b = kept(read(tmp_path / "in", **{f"a_{kind}": data})).getpixel((30, 30))
    assert r < 60 and g < 60 and b > 170


@pytest.mark.parametrize("kind", ["jpg", "heic"])
def test_twelve_megapixels_become_1200_pixels(tmp_path: Path, kind: str) -> None:
    found = read(tmp_path / "in", **{f"a_{kind}": photo(kind, 6, scene(4032, 3024))})
    assert kept(found).size == (LONGEST_PX, 900) and LONGEST_PX == 1200
    assert len(found.photos[0].photo.jpeg) < 300_000


def test_a_file_is_what_it_holds_not_what_its_name_says(tmp_path: Path) -> None:
    found = read(tmp_path / "in", a_jpg=photo("heic"), b_HEIC=photo("jpg"), c_bin=photo("png"))
    assert [each.name for each in found.photos] == ["a.jpg", "b.HEIC", "c.bin"] and not found.unusable


@pytest.mark.parametrize("kind", KINDS)
def test_a_photo_that_is_cut_off_or_damaged_is_named(tmp_path: Path, kind: str) -> None:
    noise = Image.effect_noise((400, 300), 90).convert("RGB")
    data = photo(kind, image=noise)
    found = read(tmp_path / "in", **{f"cut_{kind}": data[: len(data) * 2 // 3], f"head_{kind}": data[:40]})
    assert not found.photos
    assert [each.name for each in found.broken] == [f"cut.{kind}", f"head.{kind}"]
    assert {each.why.key for each in found.broken} == {"import.photo.broken"}


def png_bomb(width: int, height: int) -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")


def heic_bomb(width: int, height: int) -> bytes:
    """A HEIC whose property `ispe` claims a size (SOURCES: HEIF)."""
    data = bytearray(photo("heic"))
    at = data.index(b"ispe") + 8
    while True:
        data[at : at + 8] = struct.pack(">II", width, height)
        nearest = data.find(b"ispe", at)
        if nearest < 0:
            return bytes(data)
        at = nearest + 8


def test_a_jpeg_of_the_largest_cameras_is_taken(tmp_path: Path) -> None:
    """108 million pixels: it is decoded at an eighth of its size."""
    out = io.BytesIO()
    Image.new("L", (12_000, 9_000), 90).save(out, "JPEG")
    found = read(tmp_path / "in", a_jpg=out.getvalue())
    assert not found.broken and (found.photos[0].photo.width_px, found.photos[0].photo.height_px) == (1200, 900)


@pytest.mark.parametrize("size", [(60_000, 60_000), (9_000, 9_000)])
def test_a_bomb_is_refused_by_its_header(tmp_path: Path, size: tuple[int, int]) -> None:
    found = read(tmp_path / "in", a_png=png_bomb(*size), b_heic=heic_bomb(*size))
    assert not found.photos and [each.name for each in found.broken] == ["a.png", "b.heic"]
    assert found.broken[0].why.key == "import.photo.too-many-pixels"


def test_a_file_that_is_too_large_is_not_even_read(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    with (tmp_path / "in" / "a.jpg").open("wb") as file:
        file.truncate(reading.LARGEST_FILE + 1)
    (broken,) = read(tmp_path / "in").broken
    assert broken.why.key == "import.photo.too-large"


def test_without_its_decoder_each_heic_is_named_with_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "pi_heif", None)
    reading.can_decode.cache_clear()
    try:
        found = read(tmp_path / "in", a_heic=photo("heic"), b_heic=photo("heic", 3), c_jpg=photo("jpg"))
    finally:
        reading.can_decode.cache_clear()
    assert [each.name for each in found.broken] == ["a.heic", "b.heic"] and len(found.photos) == 1
    assert {each.why.key for each in found.broken} == {"import.photo.no-decoder"}


def test_what_phones_put_beside_photos_is_told_and_hidden_files_are_not(tmp_path: Path) -> None:
    movie, beside = b"\0\0\0\x14ftypqt  ", b"<plist/>"
    found = read(tmp_path / "in", a_jpg=photo("jpg"), a_MOV=movie, a_AAE=beside, Thumbs_db=b"x")
    (tmp_path / "in" / ".trash").mkdir()
    (tmp_path / "in" / ".trash" / "b.jpg").write_bytes(photo("png"))
    found = read(tmp_path / "in")
    assert [each.name for each in found.unusable] == ["a.AAE", "a.MOV"] and not found.broken
    assert [each.name for each in found.photos] == ["a.jpg"]


def test_the_same_photo_twice_is_one(tmp_path: Path) -> None:
    found = read(tmp_path / "in", a_jpg=photo("jpg"), b_jpg=photo("jpg"))
    assert [each.name for each in found.photos] == ["a.jpg"]
    assert [(each.name, each.why.key) for each in found.unusable] == [("b.jpg", "import.photo.twice")]


def test_folders_in_the_folder_are_looked_into_and_links_out_of_it_are_not(tmp_path: Path) -> None:
    (tmp_path / "in" / "100PHOTO").mkdir(parents=True)
    (tmp_path / "in" / "100PHOTO" / "a.jpg").write_bytes(photo("jpg"))
    (tmp_path / "elsewhere.png").write_bytes(photo("png"))
    (tmp_path / "in" / "b.png").symlink_to(tmp_path / "elsewhere.png")
    assert [each.name for each in read(tmp_path / "in").photos] == ["a.jpg"]


def test_no_photo_at_all_is_said(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    for path in (tmp_path / "empty", tmp_path / "missing.jpg"):
        with pytest.raises(UnreadableError):
            photo_paths([path])
