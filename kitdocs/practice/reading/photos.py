"""Pictures of instruments, sets and pouches: small enough to decode, and whole."""

from __future__ import annotations

import io
import warnings
from pathlib import Path

from PIL import Image, UnidentifiedImageError

from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.text_file import bytes_of, file_problem

FORMATS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WEBP"}
LARGEST_FILE = 32 * 1024 * 1024
#: Million pixels that can be decoded in 200 MB, measured with Pillow 12. A JPEG is decoded at an eighth of its size; a
#: progressive one is kept whole while it is decoded, as other pictures are.
MOST_MEGAPIXELS = {"JPEG": 50, "progressive": 25, "PNG": 25, "WEBP": 12}


def photo_problem(folder: Path, name: str) -> Problem | None:
    """Why the picture `name` of the folder cannot be printed, or None."""
    at = ("photos", Path(name).stem)
    data = bytes_of(folder, name, at, LARGEST_FILE)
    if isinstance(data, Problem):
        return data
    expected = FORMATS[Path(name).suffix.lower()]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            return _picture_problem(name, io.BytesIO(data), expected)
    except Image.DecompressionBombError:
        return file_problem(name, at, "too-many-pixels", most=MOST_MEGAPIXELS[expected], size="")
    except UnidentifiedImageError:
        return file_problem(name, at, "picture.other-kind", kind=expected)
    except Exception:  # a broken picture can make a decoder fail in many ways
        return file_problem(name, at, "picture.broken")


def _picture_problem(name: str, data: io.BytesIO, expected: str) -> Problem | None:
    """Look at the size in the header first, then decode the picture. Raise what the decoder raises."""
    picture = Image.open(data, formats=(expected,))
    most = MOST_MEGAPIXELS["progressive" if picture.info.get("progressive") else expected]
    if picture.width * picture.height > most * 1_000_000:
        size = f" ({picture.width} × {picture.height})"
        return file_problem(name, ("photos", Path(name).stem), "too-many-pixels", most=most, size=size)
    picture.draft("RGB", (64, 64))  # a JPEG can be decoded small, and still shows where it is cut off
    picture.load()
    return None
