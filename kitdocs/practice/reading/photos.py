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


#: What a phone may write in place of a JPEG, by the brand at the head of the file. Source: ISO/IEC 23008-12, annex B
#: (from memory).
_OF_PHONES = {
    **dict.fromkeys((b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"msf1"), "HEIC"),
    **dict.fromkeys((b"avif", b"avis"), "AVIF"),
}
_NAMED_SO = {".heic": "HEIC", ".heif": "HEIC", ".avif": "AVIF"}


def photo_problem(folder: Path, name: str) -> Problem | None:
    """Why the picture `name` of the folder cannot be printed, a warning why it may lie on its side, or None."""
    at = ("photos", Path(name).stem)
    suffix = Path(name).suffix.lower()
    if suffix in _NAMED_SO:
        return file_problem(name, at, "picture.of-a-phone", kind=_NAMED_SO[suffix])
    if suffix not in FORMATS:
        return file_problem(name, at, "photo-name")
    data = bytes_of(folder, name, at, LARGEST_FILE)
    return data if isinstance(data, Problem) else _data_problem(name, data, FORMATS[suffix])


def _data_problem(name: str, data: bytes, expected: str) -> Problem | None:
    at = ("photos", Path(name).stem)
    if data[4:8] == b"ftyp" and data[8:12] in _OF_PHONES:
        return file_problem(name, at, "picture.of-a-phone", kind=_OF_PHONES[data[8:12]])
    try:
        with warnings.catch_warnings():
            warnings.simplefilter(
                "ignore"
            )  # of what is wrong beside the pixels; and of their number, which is looked at
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
    try:
        picture.getexif()
    except Exception:  # so can the notes beside it
        return file_problem(name, ("photos", Path(name).stem), "picture.turned", severity="warning")
    return None
