"""The README's commands and snippets are executed as they stand."""

from __future__ import annotations

import re
import runpy
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import zxingcpp
from openpyxl import load_workbook
from PIL import Image

from kitdocs.starter import start

pytestmark = pytest.mark.whole

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
COMMAND = [sys.executable, "-m", "kitdocs"]


def blocks(language: str) -> list[str]:
    fenced = re.findall(r"^```(\w*)\n(.*?)^```$", README, re.M | re.S)
    return [text for tag, text in fenced if tag == language]


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A folder that has what the README's commands name, and takes what they write."""
    (tmp_path / "example_practice").symlink_to(ROOT / "example_practice")
    return tmp_path


def test_the_python_snippet_writes_a_handbook(checkout: Path) -> None:
    (snippet,) = blocks("python")
    subprocess.run([sys.executable, "-c", snippet], cwd=checkout, check=True)
    assert (checkout / "out" / "index.html").is_file()


def test_the_commands_for_a_practice_of_ones_own_work_one_after_the_other(checkout: Path) -> None:
    commands = next(block for block in blocks("sh") if "kitdocs start" in block)
    for line in commands.splitlines():
        words = line.split("  ")[0].split()
        assert words[0] == "kitdocs"
        run = subprocess.run([*COMMAND, *words[1:]], cwd=checkout, capture_output=True, text=True, check=False)
        assert run.returncode == 0, run.stdout + run.stderr
    assert (checkout / "out" / "print" / "binder.pdf").is_file()


def test_the_commands_that_keep_it_right_record_what_hangs_and_tell_what_is_out_of_date(checkout: Path) -> None:
    printed, changes = (
        [*COMMAND, *line.split("  ")[0].split()[1:]]
        for line in next(block for block in blocks("sh") if "kitdocs printed" in block).splitlines()
    )
    subprocess.run([*COMMAND, "start", printed[4]], cwd=checkout, check=True, capture_output=True)
    for command in (printed, changes):
        subprocess.run(command, cwd=checkout, check=True, capture_output=True)
    assert not (checkout / changes[-1]).exists()
    chairs = checkout / printed[4] / "chairs.yaml"
    chairs.write_text(chairs.read_text("utf-8").replace("name: Chair 1", "name: Window chair"), "utf-8")
    assert subprocess.run(changes, cwd=checkout, check=False, capture_output=True).returncode == 4
    assert (checkout / changes[-1]).read_bytes().startswith(b"%PDF")


def test_the_preview_of_the_readme_says_where_it_is(checkout: Path) -> None:
    command = next(block for block in blocks("sh") if "kitdocs preview" in block).split("  ")[0].split()
    subprocess.run([*COMMAND, "start", command[-1]], cwd=checkout, check=True, capture_output=True)
    shown = [*COMMAND, *command[1:], "--port", "0"]
    with subprocess.Popen(shown, cwd=checkout, stdout=subprocess.PIPE, text=True) as preview:
        assert preview.stdout
        said = preview.stdout.readline()
        preview.terminate()
    assert said.startswith("preview at http://127.0.0.1:")


def test_the_two_commands_that_set_everything_up_stand_in_the_readme() -> None:
    run, test = (block.strip() for block in blocks("sh") if "venv" in block)
    assert run.endswith("kitdocs handbook example_practice --to out")
    assert test.endswith(".venv/bin/pytest -n 2")
    assert test in (ROOT / "README.md").read_text("utf-8")
    assert "README.md" in (ROOT / ".ci" / "run").read_text("utf-8"), "CI runs the command from the README itself"


def test_the_mistake_that_the_readme_shows_is_answered_just_so(tmp_path: Path) -> None:
    shown = next(block for block in blocks("") if "did you mean" in block)
    place = shown.split(":")[0]
    copy = tmp_path / "practice"
    shutil.copytree(ROOT / "example_practice", copy)
    file = copy / place
    file.write_text(file.read_text("utf-8").replace("set: core\n", "set: croe\n", 1), "utf-8")
    said = subprocess.run([*COMMAND, "check", str(copy)], capture_output=True, text=True, check=False)
    assert said.returncode == 1
    assert said.stdout.startswith(shown)


def test_the_commands_for_a_spreadsheet_bring_back_what_was_edited_and_nothing_else(checkout: Path) -> None:
    write, back = next(block for block in blocks("sh") if "kitdocs workbook" in block).splitlines()
    words, ours = write.split("  ")[0].split(), checkout / write.split()[2]
    start(ours)
    before = {path: path.read_bytes() for path in ours.rglob("*") if path.is_file()}
    subprocess.run([*COMMAND, *words[1:]], cwd=checkout, check=True, capture_output=True)
    book = load_workbook(checkout / words[-1])
    page = next(page for page in book.worksheets if page["A2"].value == "chairs")
    name = next(cell for cell in page[4] if page.cell(2, cell.column).value == "name")
    old, name.value = name.value, "Window chair"
    book.save(checkout / words[-1])
    command = [*COMMAND, *back.split("  ")[0].split()[1:], "--yes"]
    answer = subprocess.run(command, cwd=checkout, check=True, capture_output=True, text=True).stdout
    assert f"{old} → Window chair" in answer
    chairs = ours / "chairs.yaml"
    before[chairs] = before[chairs].replace(f"name: {old}".encode(), b"name: Window chair", 1)
    assert {path: path.read_bytes() for path in ours.rglob("*") if path.is_file()} == before


def test_the_pictures_of_the_gallery_are_those_of_the_script_and_small() -> None:
    script = runpy.run_path(str(ROOT / ".ci" / "draw_pictures.py"))
    gallery = ROOT / ".ci" / "gallery"
    assert (gallery / "README.md").read_text("utf-8") == script["page_of_all"]()
    assert {path.stem for path in gallery.glob("*.png")} == set(script["PICTURES"])
    for path in (*gallery.glob("*.png"), ROOT / ".ci" / "readme.png"):
        with Image.open(path) as picture:
            assert max(picture.size) <= 1600
        assert path.stat().st_size < 120_000
    assert "(.ci/gallery/README.md)" in README and "(.ci/readme.png)" in README


def test_the_card_in_the_picture_is_whole_and_its_code_can_be_read() -> None:
    with Image.open(ROOT / ".ci" / "readme.png") as picture:
        card = picture.convert("RGB").crop((0, 0, picture.width * 3 // 8, picture.height))
    (code,) = zxingcpp.read_barcodes(card)
    assert "/r/chair-1.html#" in code.text
    band = [y for y in range(card.height) if card.getpixel((50, y)) not in (card.getpixel((5, 5)), (255, 255, 255))]
    height = band[-1] - band[0] + 1
    wide = card.width - 2 * 36
    assert abs(height / wide - 4 / 6) < 0.05, "the band goes from the top of a card of 6 by 4 in to its foot"
