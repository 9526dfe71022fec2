"""The practice's photos, made fit for a card: upright, small, and with nothing but their pixels."""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from PIL import Image, ImageCms, ImageOps

#: The longest side on a page or card; a telephone shows no more.
LONGEST_PX = 1200


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """`digest` is of the file as the practice has it, so that it is the same on every machine."""

    jpeg: bytes = field(repr=False)
    digest: str
    width_px: int
    height_px: int


def upright_photo(path: Path) -> Photo:
    """The photo turned as it was taken, at most `LONGEST_PX` long.

    What cameras and programs write beside the pixels (where and when it was taken, by which device, a smaller copy,
    comments) is left behind. Its colours are those of its profile, told in sRGB, which needs no profile.
    """
    about = path.stat()
    return _upright(path, about.st_mtime_ns, about.st_size)


@cache
def _upright(path: Path, _changed: int, _size: int) -> Photo:
    """Many rows show one photo, so it is made once; a file that was changed meanwhile is another."""
    original = path.read_bytes()
    with Image.open(io.BytesIO(original)) as opened:
        opened.draft("RGB", (LONGEST_PX, LONGEST_PX))
        image = _on_white(_in_srgb(ImageOps.exif_transpose(opened)))
    image.thumbnail((LONGEST_PX, LONGEST_PX))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=85, optimize=True)
    return Photo(
        jpeg=out.getvalue(),
        digest=hashlib.sha256(original).hexdigest()[:10],
        width_px=image.width,
        height_px=image.height,
    )


def _in_srgb(image: Image.Image) -> Image.Image:
    """The same colours without the profile that says how its numbers are meant."""
    profile = image.info.get("icc_profile")
    mode = "RGBA" if "A" in image.getbands() else "RGB"
    if not profile or image.mode not in ("RGB", "RGBA", "CMYK"):
        return image.convert("RGBA" if image.has_transparency_data else "RGB")
    try:
        meant = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        told = ImageCms.profileToProfile(image, meant, ImageCms.createProfile("sRGB"), outputMode=mode)
    except (ImageCms.PyCMSError, OSError):  # a broken profile: its numbers are most likely sRGB already
        told = None
    return told or image.convert(mode)


def _on_white(image: Image.Image) -> Image.Image:
    """A new picture of these pixels alone; what can be seen through stands on white, like paper."""
    clean = Image.new("RGB", image.size, "white")
    clean.paste(image, mask=image.getchannel("A") if image.mode == "RGBA" else None)
    return clean
