import math
from importlib import resources

import pytest
import qrcode
from invented_practice import practice
from PIL import ImageFont

from kitdocs.planning.legibility import (
    CAP_HEIGHT,
    code_modules,
    code_side_mm,
    legibility_figures,
    letter_height_mm,
    type_size_pt,
)


@pytest.mark.parametrize(
    ("distance", "height"),
    # Distance ÷ 200: SOURCES: FAA. Never below 2.5 mm: our choice.
    [(300, 2.5), (500, 2.5), (700, 3.5), (1000, 5.0), (2000, 10.0)],
)
def test_letters_grow_with_the_distance(distance, height):
    assert letter_height_mm(distance) == pytest.approx(height)


@pytest.mark.parametrize("distance", [300, 500, 1000, 3000])
def test_letters_clear_sixteen_minutes_of_arc(distance):
    # NUREG-0700, guideline 1.3.1-4: at least 16 minutes of arc (SOURCES: NUREG-0700).
    arc = math.degrees(2 * math.atan(letter_height_mm(distance) / 2 / distance)) * 60
    assert arc >= 16


def test_the_cap_height_is_that_of_the_typeface():
    files = resources.files("fontpkg_atkinson_hyperlegible") / "files"
    with resources.as_file(files / "AtkinsonHyperlegible-Regular.ttf") as path:
        drawn = ImageFont.truetype(str(path), 2000).getbbox("H", anchor="ls")
    assert -drawn[1] / 2000 == pytest.approx(CAP_HEIGHT, abs=0.001)


def test_a_type_size_makes_capitals_of_the_height():
    # 3 mm ÷ 0.668 = 4.491 mm of type, of 0.35278 mm a point
    assert type_size_pt(3.0) == pytest.approx(12.73, abs=0.005)


@pytest.mark.parametrize("version", [1, 2, 4, 7, 10, 40])
def test_a_code_has_the_modules_that_an_encoder_draws(version):
    code = qrcode.QRCode(version=version, border=0)
    code.add_data("1")
    code.make(fit=False)
    assert len(code.get_matrix()) == code_modules(version)


@pytest.mark.parametrize(
    ("distance", "modules", "side"),
    [
        (250, 33, 28.0),  # the usual side: 41 modules of 0.68 mm
        (250, 57, 32.5),  # 65 modules with the quiet zone, of 0.5 mm
        (600, 33, 60.0),  # distance ÷ 10
    ],
)
def test_a_code_is_large_enough_for_its_distance_and_its_modules(distance, modules, side):
    assert code_side_mm(distance, modules) == pytest.approx(side)


def test_the_figures_are_those_of_the_practice_s_distances():
    far = practice(settings={"reading_distance": "1 m", "scanning_distance": "40 cm"})
    values = {figure.id: figure.value for figure in legibility_figures(far)}
    assert values == {"legibility.letter": 5.0, "legibility.type-size": 21.2, "legibility.code": 40.0}
