"""Pictures of instruments, sets and pouches: small enough to decode, and whole."""

from __future__ import annotations

import io
import warnings
from pathlib import Path

from PIL import Image, UnidentifiedImageError

from kitdocs.practice.problems import Problem
from kitdocs.practice.text_file import bytes_of, whole_file_problem

FORMATS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WEBP"}
LARGEST_FILE = 32 * 1024 * 1024
MOST_PIXELS = 50_000_000


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
            picture = Image.open(io.BytesIO(data), formats=(expected,))
    except Image.DecompressionBombError:
        return _too_many(name)
    except UnidentifiedImageError:
        return whole_file_problem(
            "picture",
            name,
            at,
            f"is not a {expected} picture, whatever its name says",
            "open it in a picture program and save it again",
        )
    except Exception:  # a broken header can make the decoder fail in many ways
        return _broken(name)
    if picture.width * picture.height > MOST_PIXELS:
        return _too_many(name, f"{picture.width} × {picture.height}")
    try:
        if expected == "PNG":
            picture.verify()
        else:
            picture.draft("RGB", (64, 64))
            picture.load()
    except Exception:
        return _broken(name)
    return None


def _too_many(name: str, size: str = "") -> Problem:
    return whole_file_problem(
        "too-many-pixels",
        name,
        ("photos", Path(name).stem),
        f"has more than {MOST_PIXELS // 1_000_000} million pixels{f' ({size})' if size else ''}, which is not read",
        "a photo for a card needs no more than 2000 × 2000; save a smaller copy",
    )


def _broken(name: str) -> Problem:
    return whole_file_problem(
        "picture",
        name,
        ("photos", Path(name).stem),
        "is a broken picture",
        "copy it again from the camera or telephone",
    )
