"""Pictures of instruments, sets and pouches: small enough to decode, and whole."""

from __future__ import annotations

import io
import warnings
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from PIL import Image, UnidentifiedImageError, features

from kitdocs.practice.problems import Problem
from kitdocs.practice.reading.text_file import bytes_of, file_problem

FORMATS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WEBP"}
LARGEST_FILE = 32 * 1024 * 1024
#: Million pixels that can be decoded in 200 MB, measured with Pillow 12. A JPEG is decoded at an eighth of its size, so
#: 150 take 40 MB (Pillow opens none beyond 178); a progressive one is kept whole while it is decoded, as others are.
#: HEIC and AVIF are only decoded when photos are brought in: 48 million pixels take 340 MB (pi-heif 1.4).
MOST_MEGAPIXELS = {"JPEG": 150, "progressive": 25, "PNG": 25, "WEBP": 12, "HEIC": 50, "AVIF": 25}


#: What a phone may write in place of a JPEG, by the brand at the head of the file. Source: ISO/IEC 23008-12, annex B
#: (from memory).
_OF_PHONES = {
    **dict.fromkeys((b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"msf1"), "HEIC"),
    **dict.fromkeys((b"avif", b"avis"), "AVIF"),
}
_NAMED_SO = {".heic": "HEIC", ".heif": "HEIC", ".avif": "AVIF"}
#: How the other kinds begin: ISO/IEC 10918-1 (SOI), ISO/IEC 15948 (signature), RFC 9649 (RIFF, with WEBP behind); all
#: from memory.
_BEGINNINGS = {b"\xff\xd8\xff": "JPEG", b"\x89PNG\r\n\x1a\n": "PNG", b"RIFF": "WEBP"}


@dataclass(frozen=True, slots=True)
class PictureFault:
    """Why a picture cannot be used, or may lie on its side (``picture.turned``): a name in ``words/errors.yaml``."""

    name: str
    values: Mapping[str, Any] = field(default_factory=dict)


def kind_of_picture(data: bytes) -> str:
    """Return what a file is by how it begins: JPEG, PNG, WEBP, HEIC or AVIF; '' for anything else."""
    if data[4:8] == b"ftyp":
        return _OF_PHONES.get(data[8:12], "")
    kind = next((kind for start, kind in _BEGINNINGS.items() if data.startswith(start)), "")
    return kind if kind != "WEBP" or data[8:12] == b"WEBP" else ""


def photo_problem(folder: Path, name: str) -> Problem | None:
    """Why the picture `name` of the folder cannot be printed, a warning why it may lie on its side, or None."""
    at = ("photos", Path(name).stem)
    suffix = Path(name).suffix.lower()
    if suffix in _NAMED_SO:
        return file_problem(name, at, "picture.of-a-phone", kind=_NAMED_SO[suffix], file=Path(name).name)
    if suffix not in FORMATS:
        return file_problem(name, at, "photo-name")
    data = bytes_of(folder, name, at, LARGEST_FILE)
    if isinstance(data, Problem):
        return data
    kind = kind_of_picture(data)
    if kind in ("HEIC", "AVIF"):
        return file_problem(name, at, "picture.of-a-phone", kind=kind, file=Path(name).name)
    fault = fault_of(data, FORMATS[suffix])
    if fault is None:
        return None
    severity = "warning" if fault.name == "picture.turned" else "error"
    return file_problem(name, at, fault.name, severity=severity, **fault.values)


def fault_of(data: bytes, kind: str) -> PictureFault | None:
    """Decode a picture that should be of that kind, which `can_decode`; return why it cannot be used, or None."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter(
                "ignore"
            )  # of what is wrong beside the pixels; and of their number, which is looked at
            return _decoding_fault(io.BytesIO(data), kind)
    except Image.DecompressionBombError:
        return PictureFault("too-many-pixels", {"most": MOST_MEGAPIXELS[kind], "size": ""})
    except UnidentifiedImageError:
        return PictureFault("picture.other-kind", {"kind": kind})
    except Exception:  # a broken picture can make a decoder fail in many ways
        return PictureFault("picture.broken")


def _decoding_fault(data: io.BytesIO, kind: str) -> PictureFault | None:
    """Look at the size in the header first, then decode the picture. Raise what the decoder raises."""
    picture = Image.open(data, formats=("HEIF" if kind == "HEIC" else kind,))
    most = MOST_MEGAPIXELS["progressive" if picture.info.get("progressive") else kind]
    if picture.width * picture.height > most * 1_000_000:
        size = f" ({picture.width} × {picture.height})"
        return PictureFault("too-many-pixels", {"most": most, "size": size})
    picture.draft("RGB", (64, 64))  # a JPEG can be decoded small, and still shows where it is cut off
    picture.load()
    try:
        picture.getexif()
    except Exception:  # so can the notes beside it
        return PictureFault("picture.turned")
    return None


@cache
def can_decode(kind: str) -> bool:
    """Whether such pictures can be decoded here: HEIC by a package of its own, AVIF by a Pillow that was built so."""
    if kind != "HEIC":
        return kind != "AVIF" or ("avif" in features.modules and bool(features.check("avif")))
    try:
        import pi_heif  # noqa: PLC0415  # only where photos of a phone are brought in
    except ImportError:
        return False
    pi_heif.register_heif_opener()
    return True
