import pytest
from coloraide import Color
from references import colour_science

from kitdocs.planning.colours.distance import distance, seen, worst_distance

# SOURCES: Sharma 2005, table 1, all 34 pairs.
SHARMA = """
50 2.6772 -79.7751 50 0 -82.7485 2.0425
50 3.1571 -77.2803 50 0 -82.7485 2.8615
50 2.8361 -74.0200 50 0 -82.7485 3.4412
50 -1.3802 -84.2814 50 0 -82.7485 1.0000
50 -1.1848 -84.8006 50 0 -82.7485 1.0000
50 -0.9009 -85.5211 50 0 -82.7485 1.0000
50 0 0 50 -1 2 2.3669
50 -1 2 50 0 0 2.3669
50 2.49 -0.0010 50 -2.49 0.0009 7.1792
50 2.49 -0.0010 50 -2.49 0.0010 7.1792
50 2.49 -0.0010 50 -2.49 0.0011 7.2195
50 2.49 -0.0010 50 -2.49 0.0012 7.2195
50 -0.0010 2.49 50 0.0009 -2.49 4.8045
50 -0.0010 2.49 50 0.0010 -2.49 4.8045
50 -0.0010 2.49 50 0.0011 -2.49 4.7461
50 2.5 0 50 0 -2.5 4.3065
50 2.5 0 73 25 -18 27.1492
50 2.5 0 61 -5 29 22.8977
50 2.5 0 56 -27 -3 31.9030
50 2.5 0 58 24 15 19.4535
50 2.5 0 50 3.1736 0.5854 1.0000
50 2.5 0 50 3.2972 0 1.0000
50 2.5 0 50 1.8634 0.5757 1.0000
50 2.5 0 50 3.2592 0.3350 1.0000
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
"""
PAIRS = [tuple(float(n) for n in line.split()) for line in SHARMA.strip().splitlines()]

# SOURCES: Okabe and Ito; the least distances are computed with colour-science.
OKABE_ITO = ["#000000", "#e69f00", "#56b4e9", "#009e73", "#f0e442", "#0072b2", "#d55e00", "#cc79a7"]


def ciede2000(one, other):
    """Return the difference of two colours in CIE Lab, as `distance` asks coloraide for it."""
    return Color("lab-d65", one).delta_e(Color("lab-d65", other), method="2000")


def test_all_34_published_pairs_are_there():
    assert len(PAIRS) == 34


@pytest.mark.parametrize("pair", PAIRS)
def test_a_published_pair_has_its_published_difference_both_ways(pair):
    one, other, difference = pair[:3], pair[3:6], pair[6]
    assert ciede2000(one, other) == pytest.approx(difference, abs=1e-4)
    assert ciede2000(other, one) == pytest.approx(difference, abs=1e-4)


def test_the_differences_are_those_of_colour_science():
    for pair in PAIRS:
        reference = float(colour_science().delta_E(pair[:3], pair[3:6], method="CIE 2000"))
        one, other = (pair[0], pair[1], pair[2]), (pair[3], pair[4], pair[5])
        assert ciede2000(one, other) == pytest.approx(reference, abs=1e-6)


@pytest.mark.parametrize(
    ("vision", "name"), [("protan", "Protanomaly"), ("deutan", "Deuteranomaly"), ("tritan", "Tritanomaly")]
)
def test_the_matrices_are_those_of_colour_science_and_keep_grey_grey(vision, name):
    reference = colour_science().CVD_MATRICES_MACHADO2010[name][1.0]
    for grey in ("#333333", "#808080"):
        assert seen(grey, vision).coords() == pytest.approx(seen(grey).coords(), abs=1e-3)
    colour = "#907864"  # far enough from the edges that nothing is clipped
    rgb = seen(colour).convert("srgb-linear").coords()
    expected = [sum(factor * part for factor, part in zip(row, rgb, strict=True)) for row in reference]
    assert seen(colour, vision).convert("srgb-linear").coords() == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("vision", "red_seen"),
    # Pure red after clipping and encoding (SOURCES: Machado 2009).
    [("protan", (109, 95, 0)), ("deutan", (163, 144, 0)), ("tritan", (255, 0, 15))],
)
def test_red_looks_as_published(vision, red_seen):
    linear = seen("#ff0000", vision).convert("srgb-linear").coords()
    encoded = [12.92 * v if v <= 0.0031308 else 1.055 * v ** (1 / 2.4) - 0.055 for v in linear]
    assert tuple(round(255 * v) for v in encoded) == red_seen


@pytest.mark.parametrize(
    ("vision", "least"), [("normal", 21.73), ("protan", 12.25), ("deutan", 11.61), ("tritan", 10.87)]
)
def test_the_okabe_ito_colours_are_as_far_apart_as_computed_elsewhere(vision, least):
    distances = [distance(a, b, vision) for i, a in enumerate(OKABE_ITO) for b in OKABE_ITO[:i]]
    assert min(distances) == pytest.approx(least, abs=0.01)


def test_the_worst_distance_names_the_vision():
    # Orange and reddish purple (SOURCES: Okabe and Ito).
    least, vision = worst_distance("#e69f00", "#cc79a7")
    assert (round(least, 2), vision) == (10.87, "tritan")


@pytest.mark.parametrize("hex_", [*OKABE_ITO, "#ffffff", "#7f7f7f"])
def test_a_colour_has_the_lab_values_of_colour_science(hex_):
    rgb = [int(hex_[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    d65 = colour_science().CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    reference = colour_science().XYZ_to_Lab(colour_science().sRGB_to_XYZ(rgb), d65)
    # The matrices of the two libraries are rounded differently.
    assert seen(hex_).coords() == pytest.approx(tuple(float(v) for v in reference), abs=0.05)
