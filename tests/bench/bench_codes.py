"""How many codes with a tenth covered are read, by level of error correction and by side? The table that chose them.

    python tests/bench/bench_codes.py [TRIALS]

Each row is so many patches (150 when left out) in each of three tones; *one look* is a single picture of 300 dpi, *four
looks* any of four sizes, as a phone takes frame after frame. A larger side changes nothing. Over all codes of the
example binder (744 pictures each), in four looks, zbar reads 98.8 % at level Q and 99.7 % at H, zxing-cpp all of both.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "publish")]

from covered_codes import LOOKS, READERS, TONES, covered, looks_needed, scanned  # noqa: E402

from kitdocs.drawings.codes import Level, code  # noqa: E402

#: The address of a card on the example's site, and a long one.
TEXTS = (
    "https://handbook.example/r/chair-1.html#GX3GK",
    "https://handbook.a-long-name-of-a-practice.example/es/pages/opening-and-closing.html#GX3GK",
)
SIDES = (25.0, 28.0, 34.0)
LEVELS: tuple[Level, ...] = ("M", "Q", "H")


def main(trials: int) -> None:
    """Print the table."""
    heads = "  ".join(f"{reader + ', ' + looks:>21}" for reader in READERS for looks in ("one look", "four looks"))
    print(f"bytes  level  version  side/mm  {heads}")
    for text in TEXTS:
        for level in LEVELS:
            for side in SIDES:
                drawing = code(text, level=level, side_mm=side)
                image, patches = scanned(drawing), random.Random(text)
                pictures = [covered(image, drawing.modules, t, patches) for t in TONES.values() for _ in range(trials)]
                shares = []
                for reader in READERS:
                    needed = [looks_needed(picture, text, reader) for picture in pictures]
                    shares += [sum(n <= most for n in needed) / len(needed) for most in (1, len(LOOKS))]
                cells = "  ".join(f"{share:21.1%}" for share in shares)
                print(f"{len(text):5}  {level:>5}  {drawing.version:7}  {side:7.1f}  {cells}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 150)
