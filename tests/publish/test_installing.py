"""The site as a program of its own: W3C Web Application Manifest, and the icon drawn from the practice."""

from __future__ import annotations

import io
import json
import posixpath
from collections.abc import Mapping

import pytest
import sample_site
from PIL import Image

from kitdocs.publish.site.build_site import site
from kitdocs.publish.site.installing import SAFE, chair_colours, icon_png

HANDBOOKS = sample_site.handbooks()


@pytest.fixture(scope="module")
def files() -> Mapping[str, bytes]:
    return site(HANDBOOKS)


@pytest.mark.parametrize("handbook", HANDBOOKS, ids=lambda book: book.language)
def test_each_language_has_a_manifest_whose_addresses_are_files_of_the_site(files, handbook):
    path = f"{handbook.folder}manifest.webmanifest"
    said = json.loads(files[path])
    assert (said["name"], said["lang"], said["display"]) == (handbook.practice, handbook.language, "standalone")

    def at(address):
        return posixpath.normpath(posixpath.join(posixpath.dirname(path), address))

    assert at(said["start_url"]) == f"{handbook.folder}index.html"
    assert at(said["scope"]) == ".", "the other languages are within"
    for icon in said["icons"]:
        data = files[at(icon["src"])]
        if icon["type"] == "image/png":
            assert "x".join(map(str, Image.open(io.BytesIO(data)).size)) == icon["sizes"]
    # Chromium's rule for what can be installed: 192 and 512 pixels; Android's adaptive icons: a maskable one.
    assert {(icon["sizes"], icon["purpose"]) for icon in said["icons"]} >= {
        ("192x192", "any"),
        ("512x512", "any"),
        ("512x512", "maskable"),
    }


def test_the_icon_shows_every_chairs_colour(files):
    colours = chair_colours(HANDBOOKS[0])
    assert len(colours) > 3
    image = Image.open(io.BytesIO(files["assets/icon-maskable.png"])).convert("RGB")
    seen = {f"#{red:02x}{green:02x}{blue:02x}" for _, (red, green, blue) in image.getcolors(1 << 20) or []}
    assert {colour.lower() for colour in colours} <= seen
    assert all(colour in files["assets/icon.svg"].decode() for colour in colours)


@pytest.mark.parametrize("chairs", [1, 2, 7, 9, 16])
def test_a_mask_cuts_nothing_of_the_icon(chairs):
    # W3C Web Application Manifest, 1.7.3: what matters lies in a circle of 40 % of the width around the middle.
    side = 192
    image = Image.open(io.BytesIO(icon_png(["#00766c"] * chairs, side, SAFE))).convert("RGB")
    points = [(x, y) for x in range(side) for y in range(side)]
    beyond = [at for at in points if (at[0] - side / 2) ** 2 + (at[1] - side / 2) ** 2 > (0.4 * side + 1) ** 2]
    assert {image.getpixel(at) for at in beyond} == {(255, 255, 255)}
    assert (0, 118, 108) in {image.getpixel(at) for at in points}


def test_every_page_names_manifest_and_icon_and_the_policy_lets_them_in(files):
    for path in ("index.html", "es/index.html", "r/teal.html"):
        page = files[path].decode()
        up = "../" * path.count("/")
        folder = "es/" if path.startswith("es/") else ""
        assert f'<link rel="manifest" href="{up}{folder}manifest.webmanifest">' in page
        assert f'<link rel="apple-touch-icon" href="{up}assets/icon-192.png">' in page
        assert "manifest-src 'self'" in page


def test_a_device_keeps_them(files):
    kept = files["sw.js"].decode()
    assert '"manifest.webmanifest"' in kept
    assert '"assets/icon-192.png"' in kept
