"""What a page gets in fewer bytes is still the same picture, style and script."""

from __future__ import annotations

import io
import random
import re
from pathlib import Path

import pytest
import typst
from PIL import Image, ImageChops

from kitdocs.drawings.drawing import Drawing
from kitdocs.drawings.instruments import tip
from kitdocs.drawings.pouching import pouch_steps
from kitdocs.publish.site.minify import minify_js, minify_svg, short_path
from kitdocs.shipped import shipped_folder

ASSETS = shipped_folder("site_templates") / "site" / "assets"


def drawn(svg: bytes, folder: Path) -> Image.Image:
    """The drawing as Typst draws it at 200 dots an inch, more than any phone shows of a row's picture."""
    (folder / "it.svg").write_bytes(svg)
    (folder / "it.typ").write_text('#set page(width: auto, height: auto, margin: 0pt)\n#image("it.svg")\n')
    return Image.open(io.BytesIO(typst.compile(str(folder / "it.typ"), format="png", ppi=200.0))).convert("L")


def drawings() -> dict[str, Drawing]:
    steps = {f"pouch-{number}": drawing for number, drawing in enumerate(pouch_steps(), 1)}
    return {**steps, **{kind: tip(kind) for kind in ("mathieu-needle-holder", "bird-beak-plier", "band-pusher")}}


@pytest.mark.parametrize(("decimals", "most", "few"), [(2, 64, 0.002), (1, 192, 0.02)])
@pytest.mark.parametrize("name", drawings())
def test_a_light_drawing_is_the_same_picture(name: str, decimals: int, most: int, few: float, tmp_path: Path) -> None:
    original = drawings()[name].svg.encode()
    before, after = drawn(original, tmp_path), drawn(minify_svg(original, decimals), tmp_path)
    assert before.size == after.size
    histogram = ImageChops.difference(before, after).histogram()
    # Edges move by less than a dot here (7.9 dots a millimetre); a shape that is lost or filled would be black.
    assert sum(histogram[most:]) == 0
    assert sum(histogram[most // 2 :]) < few * before.width * before.height


def test_it_weighs_less() -> None:
    before = sum(len(drawing.svg) for drawing in drawings().values())
    after = sum(len(minify_svg(drawing.svg.encode())) for drawing in drawings().values())
    assert after < 0.6 * before


def test_areas_are_never_one_path_and_what_is_not_opaque_stays_apart(tmp_path: Path) -> None:
    square = '<path d="M{0} 2L{0} 8L12 8L12 2Z" fill="#808080" fill-rule="evenodd"{1}/>'
    line = '<path d="M2 {0}L18 {0}" fill="none" stroke="#000000" stroke-width="3" stroke-opacity="0.4"/>'
    inside = square.format(2, "") + square.format(6, "") + line.format(5) + line.format(6)
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10">{inside}</svg>'
    light = minify_svg(svg.encode())
    assert light.count(b"<path") == 4
    assert ImageChops.difference(drawn(svg.encode(), tmp_path), drawn(light, tmp_path)).getextrema()[1] < 8


def test_steps_add_up_to_where_the_places_were() -> None:
    chance = random.Random(7)
    places = [(round(chance.uniform(-50, 50), 3), round(chance.uniform(-50, 50), 3)) for _ in range(400)]
    data = "M" + "L".join(f"{x} {y}" for x, y in places)
    numbers = [float(n) for n in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", short_path(data, 100, 100))]
    x = y = 0.0
    for (dx, dy), (at_x, at_y) in zip(zip(numbers[::2], numbers[1::2], strict=True), places, strict=True):
        x, y = x + dx, y + dy
        assert abs(x - at_x) < 0.0051
        assert abs(y - at_y) < 0.0051


@pytest.mark.parametrize("data", ["M1 2A3 3 0 0 1 4 5", "M1 2l.5.5", "M1 2H4V7"])
def test_a_path_of_other_commands_is_left_as_it_is(data: str) -> None:
    path = f'<path d="{data}" fill="none"/>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{path}</svg>'
    assert minify_svg(svg.encode()).decode() == svg


@pytest.mark.parametrize("path", sorted(ASSETS.glob("*.js")), ids=lambda path: path.name)
def test_a_light_script_lost_nothing_but_comments_and_indentation(path: Path) -> None:
    script = path.read_text("utf-8")
    assert not any("\n" in text for text in re.findall(r"`[^`]*`", script)), "indentation would be part of a text"
    light = minify_js(script.encode()).decode()
    assert "//" not in light.replace("://", "")
    kept = [line.split("// ")[0].strip() for line in script.splitlines()]
    kept = [line for line in kept if line and not line.startswith("//")]
    for before, after in zip(kept, light.splitlines(), strict=True):
        assert after == before or not re.search("['`/]", before), "who knows where a text ends"
        assert re.findall('"[^"]*"', after) == re.findall('"[^"]*"', before), "a text is left as it is"
        assert after.replace(" ", "") == before.replace(" ", "")
        assert re.findall(r"\w+", after) == re.findall(r"\w+", before), "no two words have become one"
