import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.planning.colours.ink import contrast, ink_on, needs_outline

COLOURS = st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06x}")

# W3C's formula computed elsewhere to four decimals (SOURCES: contrast values): on white, on black.
RATIOS = {
    "#777777": (4.4781, 4.6895),
    "#767676": (4.5422, 4.6233),
    "#757575": (4.6075, 4.5578),
    "#949494": (3.0335, 6.9228),
    "#959595": (2.9953, 7.0109),
    "#595959": (7.0047, 2.9980),
    "#5a5a5a": (6.8969, 3.0448),
    "#ff0000": (3.9985, 5.2520),
    "#0000ff": (8.5925, 2.4440),
    "#008000": (5.1374, 4.0877),
    "#ffff00": (1.0738, 19.5560),
    "#000000": (21.0, 1.0),
}


@pytest.mark.parametrize(("colour", "ratios"), RATIOS.items())
def test_the_ratios_are_those_of_wcag(colour, ratios):
    on_white, on_black = contrast(colour, "#ffffff"), contrast(colour, "#000000")
    assert (on_white, on_black) == pytest.approx(ratios, abs=5e-5)
    assert ink_on(colour) == ("#ffffff" if ratios[0] > ratios[1] else "#000000")


@given(COLOURS)
def test_black_or_white_always_reads_well(colour):
    # The worst grey has the luminance √(1.05 × 0.05) − 0.05 and 4.5826:1 to both.
    assert contrast(colour, ink_on(colour)) >= 4.58


@given(COLOURS, COLOURS)
def test_contrast_does_not_mind_which_colour_comes_first(one, other):
    assert contrast(one, other) == contrast(other, one)


@pytest.mark.parametrize(("colour", "outlined"), [("#f0e442", True), ("#ffffff", True), ("#e69f00", False)])
def test_only_a_pale_colour_gets_an_outline(colour, outlined):
    # 1.3223, 1 and 2.2523 to white (SOURCES: Okabe and Ito).
    assert needs_outline(colour) is outlined
