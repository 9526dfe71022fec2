"""Photos as a phone takes them, made for tests: every kind of file, with canaries wherever metadata can stand."""

from __future__ import annotations

import io
import struct
from typing import Any

import PIL
import pillow_heif
import pytest
from PIL import Image, ImageCms, ImageDraw
from PIL.PngImagePlugin import PngInfo

#: None of these may ever reach a practice folder or an output.
CANARIES = {
    "exif": "CANARY-EXIF-MAKE",
    "note": "CANARY-MAKER-NOTE",
    "thumbnail": "CANARY-THUMBNAIL",
    "xmp": "CANARY-XMP",
    "icc": "CANARY-ICC-PROFILE",
    "iptc": "CANARY-IPTC-CAPTION",
    "comment": "CANARY-COMMENT",
}
#: 40° 26' 46", 79° 58' 56" as Exif writes them: eight bytes a number.
GPS = struct.pack(">6I", 40, 1, 26, 1, 46, 1)
RED, BLUE, GREEN, YELLOW = (200, 30, 30), (30, 30, 200), (30, 160, 30), (220, 200, 30)
TURNS = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
#: An older Pillow writes no place and no maker's note: what only a newer one can make is looked for with that.
WRITES_ALL = pytest.mark.skipif(int(PIL.__version__.split(".")[0]) < 11, reason="this Pillow writes no GPS data")
MEDIA = ("jpg", "png", "webp", "heic", "avif")


def scene(width: int = 320, height: int = 200, shade: int = 0) -> Image.Image:
    """Four quarters of four colours, wider than high; another `shade` is another photo."""
    image = Image.new("RGB", (width, height), RED)
    draw = ImageDraw.Draw(image)
    draw.rectangle((width // 2, 0, width, height // 2), fill=BLUE)
    draw.rectangle((0, height // 2, width // 2, height), fill=GREEN)
    draw.rectangle((width // 2, height // 2, width, height), fill=YELLOW)
    draw.ellipse((width // 3, height // 3, width // 2, height // 2), fill=(shade % 256, 90, 90))
    return image


def corners(image: Image.Image) -> list[Any]:
    width, height = image.size
    at = [(width // 8, height // 8), (width * 7 // 8, height // 8), (width // 8, height * 7 // 8)]
    return [image.convert("RGB").getpixel(each) for each in (*at, (width * 7 // 8, height * 7 // 8))]


def is_upright(image: Image.Image) -> bool:
    """Whether the four quarters lie as in `scene`."""
    pairs = zip(corners(image), (RED, BLUE, GREEN, YELLOW), strict=True)
    return all(max(abs(a - b) for a, b in zip(is_, was, strict=True)) < 40 for is_, was in pairs)


def exif(orientation: int = 1) -> Image.Exif:
    told = Image.Exif()
    told[0x0112] = orientation
    told[0x010F] = CANARIES["exif"]
    told.get_ifd(0x8769)[0x927C] = CANARIES["note"].encode()
    told.get_ifd(0x8825).update({1: "N", 2: (40.0, 26.0, 46.0), 3: "W", 4: (79.0, 58.0, 56.0)})
    return told


def profile() -> bytes:
    """An sRGB profile with a canary in its text: the tag `desc` or `cprt` of ICC.1."""
    data = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    text = CANARIES["icc"].encode("utf-16-be")
    at = data.index(b"mluc", 128) + 28
    size = min(len(text), 36)
    data[at : at + size] = text[:size]
    return bytes(data)


def photo(kind: str, orientation: int = 1, image: Image.Image | None = None, **more: Any) -> bytes:
    """A file of that kind of the scene as a camera held so would store it, with everything beside the pixels."""
    turn = TURNS[orientation]
    upright = image or scene()
    stored = upright if turn is None else upright.transpose(turn)
    xmp = f'<x:xmpmeta xmlns:x="adobe:ns:meta/"><p>{CANARIES["xmp"]}</p></x:xmpmeta>'.encode()
    told: dict[str, Any] = {"exif": exif(orientation).tobytes(), "icc_profile": profile(), **more}
    out = io.BytesIO()
    if kind == "heic":
        pillow_heif.from_pillow(stored).save(out, quality=80, xmp=xmp, **told)
        return out.getvalue()
    texts = PngInfo()
    texts.add_text("Comment", CANARIES["comment"])
    texts.add_itxt("XML:com.adobe.xmp", xmp.decode())
    own: dict[str, dict[str, Any]] = {
        "jpg": {"comment": CANARIES["comment"].encode(), "quality": 92},
        "png": {"pnginfo": texts},
        "webp": {"xmp": xmp, "lossless": True},
        "avif": {"xmp": xmp, "quality": 90},
    }
    formats = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP", "avif": "AVIF"}
    stored.save(out, formats[kind], **told, **own[kind])
    return _with_more(out.getvalue(), xmp) if kind == "jpg" else out.getvalue()


def _with_more(jpeg: bytes, xmp: bytes) -> bytes:
    """A JPEG with XMP in a segment APP1, a caption (IPTC-IIM, record 2:120) in APP13, a thumbnail beside that of JFIF.

    The oldest Pillow that is allowed writes none of these itself.
    """
    caption = CANARIES["iptc"].encode()
    record = b"\x1c\x02\x78" + struct.pack(">H", len(caption)) + caption
    thumbnail = b"JFXX\0\x10" + CANARIES["thumbnail"].encode()
    about = b"http://ns.adobe.com/xap/1.0/\0" + xmp
    segments = ((0xE1, about), (0xED, record), (0xE0, thumbnail))
    added = b"".join(bytes((0xFF, marker)) + struct.pack(">H", len(data) + 2) + data for marker, data in segments)
    return jpeg[:2] + added + jpeg[2:]


def canaries_in(data: bytes) -> set[str]:
    """Which canaries a file holds, in any encoding that metadata has."""
    found = {name for name, text in CANARIES.items() if text.encode() in data or text.encode("utf-16-be") in data}
    found |= {"icc"} if CANARIES["icc"][:12].encode("utf-16-be") in data else set()
    return found | ({"gps"} if GPS in data or GPS[::-1] in data else set())
