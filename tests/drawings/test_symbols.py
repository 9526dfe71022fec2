"""Symbols for what is done when something went wrong: told apart in grey at an arm's length, and none forgotten.

Normal sight (20/20, 6/6) parts what is one minute of arc apart: 0.175 mm at 600 mm. A symbol printed 11 mm wide is then
no more than 11 / 0.175 = 63 points across. That a twentieth of these points must be clearly lighter or darker is ours.
"""

from __future__ import annotations

from itertools import combinations
from math import radians, tan
from typing import get_args

import numpy as np
import pytest

from kitdocs.drawings.symbols import SYMBOL_MM, Symbol, symbol
from kitdocs.handbook.cards.mishaps import on_the_card
from kitdocs.handbook.rules.looked_up import SYMBOL_OF
from kitdocs.handbook.rules.triggers import TRIGGERS

PRINTED_MM = 11.0
ARM_MM = 600.0
POINTS = PRINTED_MM / (ARM_MM * tan(radians(1 / 60)))
NAMES = get_args(Symbol)
CLEARLY = 64
"""A quarter of the way from black to white."""


@pytest.fixture(scope="module")
def seen(printed) -> dict[str, np.ndarray]:
    """Every symbol in grey, as large as an eye at an arm's length can part it."""
    ppi = POINTS / SYMBOL_MM * 25.4
    drawn = printed([symbol(name).svg for name in NAMES], width_mm=SYMBOL_MM, height_mm=SYMBOL_MM, ppi=ppi)
    return {name: np.asarray(image.convert("L"), dtype=int) for name, image in zip(NAMES, drawn, strict=True)}


def test_no_two_symbols_are_taken_for_each_other_in_grey(seen):
    assert 60 < POINTS < 70
    shares = {pair: np.mean(np.abs(seen[pair[0]] - seen[pair[1]]) > CLEARLY) for pair in combinations(NAMES, 2)}
    alike = {pair: round(float(share), 3) for pair, share in shares.items() if share < 0.05}
    assert not alike


def test_every_symbol_fills_its_place_and_leaves_it_white_enough(seen):
    for name, grey in seen.items():
        dark = grey < 255 - CLEARLY
        rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
        across, down = columns[-1] - columns[0] + 1, rows[-1] - rows[0] + 1
        assert max(across, down) > 0.8 * grey.shape[0], name
        assert 0.05 < dark.mean() < 0.75, name


def test_no_symbol_is_cut_off_at_its_edge(printed):
    """Drawn on a canvas 2 mm wider all round, the margin stays white."""
    around = f'viewBox="-2 -2 {SYMBOL_MM + 4:g} {SYMBOL_MM + 4:g}"'
    svgs = [symbol(name).svg.replace(f'viewBox="0 0 {SYMBOL_MM:g} {SYMBOL_MM:g}"', around) for name in NAMES]
    assert all(around in svg for svg in svgs)
    for name, image in zip(NAMES, printed(svgs, width_mm=24, height_mm=24, ppi=254), strict=True):
        grey = np.asarray(image, dtype=int)
        inside = np.zeros_like(grey, dtype=bool)
        inside[20:-20, 20:-20] = True
        assert grey[~inside].min() > 255 - CLEARLY, name


def test_every_step_that_is_looked_up_has_a_symbol_and_every_symbol_a_step():
    asked = {step[0] for trigger in TRIGGERS.values() if trigger.done for step in on_the_card(trigger).steps}
    assert asked <= set(SYMBOL_OF)
    assert set(SYMBOL_OF.values()) == set(NAMES)
