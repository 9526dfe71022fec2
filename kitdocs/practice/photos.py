"""Photos prepared for cards and for the practice folder: upright, small, in sRGB, and without metadata."""

from __future__ import annotations

import hashlib
import io
import warnings
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from PIL import Image, ImageCms

#: Longest side on a page or card, and of a photo that was brought in; a phone shows no more. At 300 dpi that is 101 mm,
#: and no card shows an instrument larger than 58 mm.
LONGEST_PX = 1200
#: How much of a photo a JPEG keeps: on a card, and in the practice folder, from which cards are made.
_ON_A_CARD, _KEPT = 85, 92
#: How an image is turned upright, by its orientation. SOURCES: Exif, tag 0x0112.
_ORIENTATION = 0x0112
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A prepared photo. `digest` is of the original file, so it is the same on every machine."""

    jpeg: bytes = field(repr=False)
    digest: str
    width_px: int
    height_px: int


def upright_photo(path: Path) -> Photo:
    """Return the photo upright, at most `LONGEST_PX` long.

    Metadata (where, when and with what it was taken, a preview, comments) is dropped. Colours are converted from the
    photo's profile to sRGB, which needs none.
    """
    about = path.stat()
    return _upright(path, about.st_mtime_ns, about.st_size)


@cache
def _upright(path: Path, _changed: int, _size: int) -> Photo:
    """Prepare a photo once, however many rows show it. A changed file is prepared again."""
    return _prepared(path.read_bytes(), _ON_A_CARD)


def photo_to_keep(original: bytes) -> Photo:
    """Return a photo as `upright_photo` does, with less lost, as it is kept in the practice folder.

    The picture is whole, and of a kind that can be decoded here: see `reading.photos.fault_of`.
    """
    return _prepared(original, _KEPT)


def _prepared(original: bytes, quality: int) -> Photo:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of what is wrong beside the pixels; and of their number, which is looked at
        with Image.open(io.BytesIO(original)) as opened:
            opened.draft("RGB", (LONGEST_PX, LONGEST_PX))
            image = _on_white(_in_srgb(_smaller(_turned(opened))))
    image.thumbnail((LONGEST_PX, LONGEST_PX))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, optimize=True)
    return Photo(
        jpeg=out.getvalue(),
        digest=hashlib.sha256(original).hexdigest()[:10],
        width_px=image.width,
        height_px=image.height,
    )


def _turned(image: Image.Image) -> Image.Image:
    """Turn the image as its Exif data says; leave it as it is where that cannot be read, which `check` tells."""
    try:
        turn = _TURNS.get(image.getexif().get(_ORIENTATION, 1))
    except Exception:  # broken data can make a decoder fail in many ways
        return image
    return image if turn is None else image.transpose(turn)


def _smaller(image: Image.Image) -> Image.Image:
    """Return a large picture at two to four times its final size, because each step after this copies it."""
    factor = max(image.size) // (2 * LONGEST_PX)
    return image.reduce(factor) if factor > 1 and image.mode in ("L", "LA", "RGB", "RGBA", "CMYK") else image


def _in_srgb(image: Image.Image) -> Image.Image:
    """Convert the image to sRGB and drop its colour profile."""
    profile = image.info.get("icc_profile")
    mode = "RGBA" if "A" in image.getbands() else "RGB"
    if not profile or image.mode not in ("RGB", "RGBA", "CMYK"):
        return image.convert("RGBA" if image.has_transparency_data else "RGB")
    try:
        profile_read = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        converted = ImageCms.profileToProfile(image, profile_read, ImageCms.createProfile("sRGB"), outputMode=mode)
    except (ImageCms.PyCMSError, OSError):  # a broken profile: the colours are most likely sRGB already
        converted = None
    return converted or image.convert(mode)


def _on_white(image: Image.Image) -> Image.Image:
    """Return a new image of these pixels alone, transparent parts on white, like paper."""
    clean = Image.new("RGB", image.size, "white")
    clean.paste(image, mask=image.getchannel("A") if image.mode == "RGBA" else None)
    return clean
