"""How many sheets do everyday changes exchange?

    python tests/bench/bench_exchange.py [FOLDER]

The example is printed and recorded, then changed in one place; what `kitdocs changes --print` writes is counted: sheets
of paper (two sides each) in one language, and those of the list that says what goes where. `MOST` are asked for;
`test_exchange.py` holds all four to it.

Measured: 14 and 1 for one more pouch in a drawer (24 before a written count left the others as they are), 2 and 1 for a
number in a page, 13 and 1 for a piece less in a set, 16 and 1 for a chair's name.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import pikepdf

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "example_practice"

MOST = 20
"""Sheets that a change may exchange."""

#: What somebody changes on an ordinary day: the file, what stands there, what stands there then.
CHANGES = {
    "one more of a pouch in a drawer": ("chairs.yaml", "loose-band: 2}   #", "loose-band: 3}   #"),
    "another extension": ("pages/phone-numbers.md", "| Clinical coordinator | 20 |", "| Clinical coordinator | 24 |"),
    "an instrument less in a set": ("sets.yaml", "cotton-plier, ligature-director]", "ligature-director]"),
    "a chair gets a name": ("chairs.yaml", "{en: Chair 2, es: Sillón 2}", "{en: Window chair, es: Sillón ventana}"),
}


def kitdocs(*arguments: str | Path, fine: tuple[int, ...] = (0,)) -> None:
    command = [sys.executable, "-m", "kitdocs", *map(str, arguments)]
    done = subprocess.run(command, check=False, cwd=ROOT, capture_output=True, text=True)
    if done.returncode not in fine:
        sys.exit(done.stdout + done.stderr)


def exchanged(printed: Path, work: Path, change: tuple[str, str, str]) -> tuple[int, int]:
    """Return the sheets to exchange after one change, and those of the list before them."""
    folder, out = work / "changed", work / "sheets.pdf"
    shutil.rmtree(folder, ignore_errors=True)
    out.unlink(missing_ok=True)
    shutil.copytree(printed, folder)
    file, before, after = change
    text = (folder / file).read_text("utf-8")
    if before not in text:
        sys.exit(f"{file} has no '{before}'")
    (folder / file).write_text(text.replace(before, after, 1), "utf-8")
    kitdocs("changes", folder, "--print", out, "--language", "en", fine=(0, 4))
    if not out.exists():
        return 0, 0
    with pikepdf.open(out) as pdf:
        labels = [str(page.label) for page in pdf.pages]
    fronts = labels[::2]
    lists = sum(label.startswith("Replacement list") for label in fronts)
    return len(fronts) - lists, lists


def recorded(practice: Path, work: Path) -> Path:
    """Return a copy of a practice folder that is recorded as printed."""
    printed = Path(shutil.copytree(practice, work / "printed"))
    kitdocs("handbook", printed, "--to", work / "site", "-q")
    kitdocs("printed", printed, "-q")
    return printed


def main() -> None:
    with TemporaryDirectory() as name:
        work = Path(name)
        printed = recorded(Path(sys.argv[1]) if len(sys.argv) > 1 else EXAMPLE, work)
        for what, change in CHANGES.items():
            sheets, lists = exchanged(printed, work, change)
            print(f"{what:35} {sheets:3} sheets, and {lists} of the list")


if __name__ == "__main__":
    main()
