"""Pictures of instruments, sets and pouches: small enough to decode, and whole."""

from __future__ import annotations

import io
import warnings
from pathlib import Path

from PIL import Image, UnidentifiedImageError

from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.text_file import bytes_of, whole_file_problem

FORMATS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WEBP"}
LARGEST_FILE = 32 * 1024 * 1024
#: Million pixels that can be decoded in 200 MB, measured with Pillow 12. A JPEG is decoded at an eighth of its size; a
#: progressive one is kept whole while it is decoded, as other pictures are.
MOST_MEGAPIXELS = {"JPEG": 50, "progressive": 25, "PNG": 25, "WEBP": 12}


def photo_problem(folder: Path, name: str) -> Problem | None:
    """Why the picture `name` of the folder cannot be printed, or None."""
    data = bytes_of(folder, name, ("photos", Path(name).stem), LARGEST_FILE)
    if isinstance(data, Problem):
        return data
    expected = FORMATS[Path(name).suffix.lower()]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            return _picture_problem(name, io.BytesIO(data), expected)
    except Image.DecompressionBombError:
        return _too_many(name, MOST_MEGAPIXELS[expected])
    except UnidentifiedImageError:
        return whole_file_problem(
            "picture",
            name,
            ("photos", Path(name).stem),
            f"this is not a {expected} picture, whatever its name says, or is broken",
            "open it in a picture program and save it again",
        )
    except Exception:  # a broken picture can make a decoder fail in many ways
        return whole_file_problem(
            "picture", name, ("photos", Path(name).stem), "the picture is broken", "copy it again from the camera"
        )


def _picture_problem(name: str, data: io.BytesIO, expected: str) -> Problem | None:
    """Look at the size in the header first, then decode the picture. Raise what the decoder raises."""
    picture = Image.open(data, formats=(expected,))
    most = MOST_MEGAPIXELS["progressive" if picture.info.get("progressive") else expected]
    if picture.width * picture.height > most * 1_000_000:
        return _too_many(name, most, f"{picture.width} × {picture.height}")
    picture.draft("RGB", (64, 64))  # a JPEG can be decoded small, and still shows where it is cut off
    picture.load()
    return None


def _too_many(name: str, most: int, size: str = "") -> Problem:
    return whole_file_problem(
        "too-many-pixels",
        name,
        ("photos", Path(name).stem),
        f"the picture has more than {most} million pixels{f' ({size})' if size else ''}",
        "a photo for a card needs no more than 2000 × 2000; save a smaller copy",
    )
