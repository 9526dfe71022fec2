"""No cell of a column that is not a table's own is read, or shown beside what is wrong with its line.

Every such cell has the letters of `CANARY` in it.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.folder import read_folder
from kitdocs.practice.reading.reader import read_practice
from kitdocs.starter import start

CANARY = "zqx"
HEAD = "day,start,Patient,chair,procedure,minutes,Notes"
GOOD = "2026-11-02,8:00,Tern zqx,chair-1,check,20,zqx called"

#: A line that is wrong in its own columns or its form, each beside the name of what is told.
WRONG = {
    "chair": ("2026-11-02,8:00,Tern zqx,chair-99,check,20,zqx called", "chair-99"),
    "last-chair": (f"{GOOD}\n2026-11-02,9:00,,chair-99,check,20,zqx", "chair-99"),
    "time": ("2026-11-02,25:00,Tern zqx,chair-1,check,20,zqx called", "25:00"),
    "minutes": ("2026-11-02,8:00,Tern zqx,chair-1,check,soon,zqx called", "soon"),
    "shifted": ("2026-11-02,8:00,Tern zqx, Ada zqx,chair-1,check,20,zqx called", "8 cells"),
    "short": ("2026-11-02,8:00,Tern zqx,zqx,chair-1", "5 cells"),
    "quote": ('2026-11-02,8:00,"Tern zqx,chair-1,check,20,zqx', "quote"),
    "quoted": ('2026-11-02,8:00,"Tern, ""Al"" zqx",chair-99,check,20,"zqx, called"', "chair-99"),
}


def told(folder: Path) -> list[str]:
    with pytest.raises(PracticeError) as error:
        read_practice(folder)
    return [str(problem) for problem in error.value.problems]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("wrong", WRONG)
def test_a_wrong_line_is_told_without_the_cells_of_other_columns(tmp_path: Path, wrong: str, separator: str) -> None:
    start(tmp_path / "ours")
    line, says = WRONG[wrong]
    text = f"{HEAD}\n{line}\n".replace(",", separator)
    (tmp_path / "ours" / "schedule.csv").write_text(text, "utf-8")
    messages = told(tmp_path / "ours")
    assert any(says in message for message in messages)
    assert CANARY not in "".join(messages)
    assert CANARY not in str(read_folder(tmp_path / "ours").files["schedule"].data)


def test_the_table_s_own_cells_are_shown_with_the_caret_below(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    (tmp_path / "ours" / "schedule.csv").write_text(f"{HEAD}\n{WRONG['chair'][0]}\n", "utf-8")
    (message,) = [message for message in told(tmp_path / "ours") if "chair-99" in message.splitlines()[0]]
    line, caret = message.splitlines()[1:3]
    assert line.strip() == "2026-11-02,8:00,········,chair-99,check,20,··········"
    assert line.index("chair-99") == caret.index("^")


@pytest.mark.parametrize(
    "text",
    [
        "Tern zqx,chair,Completed zqx\n",
        "Tern zqx,Completed zqx\n",
        f"{HEAD}\n{GOOD}".replace("Tern", "L\xf3pez"),
        f"{HEAD}\n{GOOD}".replace("Tern", "Te\x07rn"),
    ],
    ids=["no-heading-but-one", "no-heading", "latin-1", "control-sign"],
)
def test_what_cannot_be_read_as_a_table_is_told_without_its_lines(tmp_path: Path, text: str) -> None:
    start(tmp_path / "ours")
    (tmp_path / "ours" / "schedule.csv").write_bytes(text.encode("latin-1"))
    messages = [message for message in told(tmp_path / "ours") if message.startswith("schedule.csv")]
    assert messages
    assert CANARY not in "".join(messages)
