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
MOST_PIXELS = 50_000_000


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
        return _too_many(name)
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
    """Looks at the size in the header first, then at the whole picture; raises what the decoder raises."""
    picture = Image.open(data, formats=(expected,))
    if picture.width * picture.height > MOST_PIXELS:
        return _too_many(name, f"{picture.width} × {picture.height}")
    if expected == "PNG":
        picture.verify()  # every chunk has a checksum, so nothing need be decoded
    else:
        picture.draft("RGB", (64, 64))  # a JPEG can be decoded small, and still shows where it is cut off
        picture.load()
    return None


def _too_many(name: str, size: str = "") -> Problem:
    return whole_file_problem(
        "too-many-pixels",
        name,
        ("photos", Path(name).stem),
        f"the picture has more than {MOST_PIXELS // 1_000_000} million pixels{f' ({size})' if size else ''}",
        "a photo for a card needs no more than 2000 × 2000; save a smaller copy",
    )
