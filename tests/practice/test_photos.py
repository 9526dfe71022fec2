"""A practice's photo on its way to a card: turned upright, small, and with nothing but its pixels."""

from __future__ import annotations

import io
import random
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from jpeg_segments import segments
from PIL import Image, ImageCms, ImageDraw, ImageOps
from PIL.PngImagePlugin import PngInfo

from kitdocs.practice.photos import LONGEST_PX, photo_to_keep, upright_photo
from kitdocs.practice.reading.photos import photo_problem

SECRET = "taken-at-5-Elm-Street"
XMP = f'<x:xmpmeta xmlns:x="adobe:ns:meta/"><p>{SECRET}</p></x:xmpmeta>'.encode()
ORIENTATION, GPS, MAKE, DESCRIPTION = 0x0112, 0x8825, 0x010F, 0x010E
RED, BLUE = (200, 30, 30), (30, 30, 200)


def scene(width: int = 320, height: int = 200) -> Image.Image:
    """Red above blue, as a person sees it: wider than high."""
    image = Image.new("RGB", (width, height), RED)
    ImageDraw.Draw(image).rectangle((0, height // 2, width, height), fill=BLUE)
    return image


def exif(orientation: int) -> Image.Exif:
    told = Image.Exif()
    told[ORIENTATION] = orientation
    told[MAKE] = SECRET
    told[DESCRIPTION] = SECRET
    told.get_ifd(GPS).update({1: "N", 2: (40.0, 26.0, 46.0), 3: "W", 4: (79.0, 58.0, 56.0)})
    return told


#: How the rows of a photo lie for some orientations, and how a program undoes it. SOURCES: Exif, page 18: 1 upright,
#: 3 turned by 180 degrees, 6 to be turned clockwise, 8 anticlockwise, 2 mirrored.
AS_STORED = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    6: Image.Transpose.ROTATE_90,
    8: Image.Transpose.ROTATE_270,
}


def stored(path: Path, orientation: int = 6, **more: Any) -> Path:
    """The scene as a camera stores it, with everything beside the pixels that a program can write there."""
    turned = AS_STORED[orientation]
    image = scene() if turned is None else scene().transpose(turned)
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    kinds: dict[str, dict[str, Any]] = {
        ".jpg": {"comment": SECRET.encode(), "xmp": XMP, "quality": 95, "dpi": (72, 72)},
        ".png": {"pnginfo": png_texts()},
        ".webp": {"xmp": XMP, "lossless": True},
    }
    image.save(path, exif=exif(orientation), icc_profile=profile, **kinds[path.suffix], **more)
    return path


def png_texts() -> PngInfo:
    told = PngInfo()
    told.add_text("Comment", SECRET)
    told.add_itxt("XML:com.adobe.xmp", XMP.decode())
    return told


def near(pixel: object, colour: tuple[int, int, int]) -> bool:
    assert isinstance(pixel, tuple)
    return all(abs(a - b) < 25 for a, b in zip(pixel, colour, strict=True))


@pytest.mark.parametrize("suffix", [".jpg", ".png", ".webp"])
@pytest.mark.parametrize("orientation", sorted(AS_STORED))
def test_a_photo_stands_upright_however_the_camera_was_held(tmp_path: Path, suffix: str, orientation: int) -> None:
    photo = upright_photo(stored(tmp_path / f"core{suffix}", orientation))
    picture = Image.open(io.BytesIO(photo.jpeg))
    assert picture.size == (photo.width_px, photo.height_px) == (320, 200)
    assert near(picture.getpixel((160, 20)), RED) and near(picture.getpixel((160, 180)), BLUE)


#: On which side of the scene the first row and the first column of the file lie. SOURCES: Exif, page 18.
SIDES = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def as_published(scene: np.ndarray, orientation: int) -> np.ndarray:
    """The rows that a camera writes of a scene, pixel by pixel from the published words, without any turning."""
    row_side, column_side = SIDES[orientation]
    height, width = scene.shape[:2]
    lying = row_side in ("left", "right")
    rows, columns = (width, height) if lying else (height, width)
    stored = np.zeros((rows, columns, 3), np.uint8)
    for r in range(rows):
        for c in range(columns):
            along = {"top": r, "bottom": height - 1 - r, "left": r, "right": width - 1 - r}[row_side]
            across = {"top": c, "bottom": height - 1 - c, "left": c, "right": width - 1 - c}[column_side]
            stored[r, c] = scene[across, along] if lying else scene[along, across]
    return stored


@pytest.mark.parametrize("orientation", sorted(SIDES))
def test_each_published_orientation_is_turned_back_to_the_scene(orientation: int) -> None:
    noise = np.asarray(Image.effect_noise((30, 20), 90).resize((60, 40)).convert("RGB"))
    file = io.BytesIO()
    Image.fromarray(as_published(noise, orientation)).save(file, "PNG", exif=exif(orientation))
    kept = Image.open(io.BytesIO(photo_to_keep(file.getvalue()).jpeg))
    expected = io.BytesIO()
    Image.fromarray(noise).save(expected, "JPEG", quality=92, optimize=True)
    assert kept.size == (60, 40) and kept.tobytes() == Image.open(expected).tobytes()


@pytest.mark.parametrize("suffix", [".jpg", ".png", ".webp"])
def test_nothing_but_pixels_is_left_of_a_photo(tmp_path: Path, suffix: str) -> None:
    """The segments of the file are read one by one (ITU-T T.81, annex B): none but those that pixels need."""
    path = stored(tmp_path / f"core{suffix}")
    assert SECRET.encode() in path.read_bytes()
    photo = upright_photo(path)
    assert SECRET.encode() not in photo.jpeg and b"Exif" not in photo.jpeg and b"xmpmeta" not in photo.jpeg
    picture = Image.open(io.BytesIO(photo.jpeg))
    assert not dict(picture.getexif())
    assert not {"icc_profile", "comment", "xmp", "exif"} & set(picture.info)
    assert set(segments(photo.jpeg)) <= {0xE0, 0xDB, 0xC0, 0xC4, 0xDA}  # JFIF, tables, frame, scan


def test_a_large_photo_is_made_smaller_and_a_small_one_is_left_as_it_is(tmp_path: Path) -> None:
    scene(4000, 2500).save(tmp_path / "large.jpg")
    scene(300, 400).save(tmp_path / "small.jpg")
    large, small = upright_photo(tmp_path / "large.jpg"), upright_photo(tmp_path / "small.jpg")
    assert (large.width_px, large.height_px) == (LONGEST_PX, LONGEST_PX * 2500 // 4000)
    assert (small.width_px, small.height_px) == (300, 400)


def test_what_can_be_seen_through_stands_on_white(tmp_path: Path) -> None:
    Image.new("RGBA", (100, 100), (0, 0, 0, 0)).save(tmp_path / "glass.png")
    Image.new("P", (100, 100), 0).save(tmp_path / "palette.png", transparency=0)
    for name in ("glass.png", "palette.png"):
        picture = Image.open(io.BytesIO(upright_photo(tmp_path / name).jpeg))
        assert near(picture.getpixel((50, 50)), (255, 255, 255)), name


def red_for_blue() -> bytes:
    """An sRGB profile whose red and blue are exchanged in its table of tags (ICC.1, 7.3): its red is blue."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    red, blue = profile.index(b"rXYZ", 128), profile.index(b"bXYZ", 128)
    profile[red : red + 4], profile[blue : blue + 4] = b"bXYZ", b"rXYZ"
    return bytes(profile)


@pytest.mark.parametrize("suffix", ["jpg", "png", "webp"])
def test_the_colours_are_those_that_the_photos_profile_means(tmp_path: Path, suffix: str) -> None:
    Image.new("RGB", (64, 64), RED).save(tmp_path / f"core.{suffix}", icc_profile=red_for_blue())
    picture = Image.open(io.BytesIO(upright_photo(tmp_path / f"core.{suffix}").jpeg))
    assert near(picture.getpixel((30, 30)), BLUE)


@pytest.mark.parametrize("orientation", range(10))
def test_each_orientation_is_turned_as_pillow_turns_it(tmp_path: Path, orientation: int) -> None:
    """Held against `ImageOps.exif_transpose`, which cannot be used itself: it fails where other data is broken."""
    path = tmp_path / "core.png"
    noise = Image.effect_noise((50, 30), 80).convert("RGB")
    noise.save(path, exif=exif(orientation))
    upright = ImageOps.exif_transpose(Image.open(path))
    prepared = Image.open(io.BytesIO(upright_photo(path).jpeg))
    expected = io.BytesIO()
    upright.convert("RGB").save(expected, "JPEG", quality=85, optimize=True)
    assert prepared.size == upright.size
    assert prepared.tobytes() == Image.open(expected).tobytes()


@pytest.mark.parametrize("suffix", ["jpg", "png", "webp"])
@pytest.mark.parametrize("broken", [{"icc_profile": b"no profile at all"}, {"exif": b"Exif\0\0no such thing"}])
def test_what_is_broken_beside_the_pixels_does_not_matter(
    tmp_path: Path, broken: dict[str, bytes], suffix: str
) -> None:
    Image.new("RGB", (64, 64), RED).save(tmp_path / f"core.{suffix}", **broken)  # type: ignore[arg-type]
    picture = Image.open(io.BytesIO(upright_photo(tmp_path / f"core.{suffix}").jpeg))
    assert near(picture.getpixel((30, 30)), RED)


@pytest.mark.parametrize("suffix", ["jpg", "png", "webp"])
def test_what_check_lets_pass_can_be_printed(tmp_path: Path, suffix: str) -> None:
    """Whatever happens to the bytes of a photo, it is named when the folder is checked, or it can be prepared."""
    (tmp_path / "photos").mkdir()
    original = stored(tmp_path / f"original.{suffix}", 6).read_bytes()
    drawn, passed = random.Random(1), 0
    for number in range(400):
        data = bytearray(original)
        for _ in range(drawn.randint(1, 4)):
            data[drawn.randrange(len(data) if number % 2 else 400)] = drawn.randrange(256)
        path = tmp_path / "photos" / f"core-{number}.{suffix}"
        path.write_bytes(data[: drawn.randrange(len(data))] if number % 7 == 0 else data)
        problem = photo_problem(tmp_path, f"photos/{path.name}")
        if problem is None or problem.severity == "warning":
            assert upright_photo(path).jpeg
            passed += 1
    assert 0 < passed < 400


@pytest.mark.parametrize("mode", ["L", "1", "P", "CMYK", "LA", "I;16"])
def test_any_kind_of_picture_becomes_a_colour_photo(tmp_path: Path, mode: str) -> None:
    name = "any.jpg" if mode == "CMYK" else "any.png"
    Image.new(mode, (40, 30)).save(tmp_path / name)
    picture = Image.open(io.BytesIO(upright_photo(tmp_path / name).jpeg))
    assert (picture.mode, picture.size) == ("RGB", (40, 30))


def test_the_same_photo_gives_the_same_bytes_under_every_name(tmp_path: Path) -> None:
    one = stored(tmp_path / "one.jpg")
    other = shutil.copyfile(one, tmp_path / "other.jpg")  # drawn anew, its colour profile would have another time
    assert upright_photo(one) == upright_photo(other)
