"""What was printed is recorded in small files; what hangs follows from all of them, in whatever order they are read."""

from __future__ import annotations

import errno
import itertools
import json
import os
import random
import shutil
import sys
import time
from pathlib import Path

import pytest
from bad_inputs import VALID
from hypothesis import example, given
from hypothesis import strategies as st

from kitdocs.document.edition import ALPHABET
from kitdocs.practice.printed import PrintedCard, PrintRecord, PrintRun, TakenOut
from kitdocs.practice.problems import PublishError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.reading.text_file import UNPRINTABLE, text_file
from kitdocs.practice.reading.yaml_file import read_yaml
from kitdocs.practice.recording import run_text, write_run
from kitdocs.practice.writing import write_whole

FRONT = ({"is": "items", "items": [{"id": "ties", "name": "Sillón · “ties”", "count": 2}]},)


def card(edition: str, name: str = "r/teal", language: str = "en", **more: object) -> PrintedCard:
    return PrintedCard(card=name, language=language, edition=edition, title="Teal", front=FRONT, **more)


def a_practice(tmp_path: Path) -> Path:
    return Path(shutil.copytree(VALID, tmp_path / "practice"))


def read_back(run: PrintRun) -> PrintRun:
    read = read_yaml(text_file("printed/act.yaml", ("printed", "act"), run_text(run)))
    assert not read.problems
    return PrintRun.model_validate(read.data)


def test_an_act_is_read_as_it_was_written() -> None:
    run = PrintRun(
        date="2026-11-25",
        by="the lead: “R.”",
        follows=("2026-11-20-22345",),
        cards=(card("22345", sheets=("4", "4A"), hangs="In the drawer: Chair 1"), card("C2345", "current", "es")),
        taken_out=(TakenOut(card="r/old", language="es"),),
        figures={"stock.core": 22, "day.ends": "19:26", "turnaround": 164.9},
        inputs={"procedures.wire-change.per_day": 34.0, "practice.service": "95%", "x.cycle": "1e5", "x.y": "yes"},
    )
    assert read_back(run) == run


#: What a practice's own words may hold: kitdocs refuses signs without width when it reads them.
WORDS = st.text(min_size=1, max_size=40).filter(lambda text: not UNPRINTABLE.search(text) and text.strip())


@given(by=WORDS, title=WORDS, hangs=WORDS, block=WORDS, number=st.integers() | st.floats(allow_nan=False, width=16))
@example(by="lead", title="a\u2028b", hangs="a\x85b", block="a\u2029b", number=1)
def test_any_words_come_back_as_they_were(by: str, title: str, hangs: str, block: str, number: float) -> None:
    written = PrintedCard(
        card="r/a", language="en", edition="22345", title=title, hangs=hangs, front=({"is": "x", "text": block},)
    )
    run = PrintRun(date="2026-01-01", by=by, cards=(written,), figures={"a": number if abs(number) < 1e9 else 1})
    back = read_back(run)
    assert back.by == by and back.cards[0] == written
    assert float(back.figures["a"]) == float(run.figures["a"])


def test_the_record_is_read_with_the_practice_and_hung_cards_are_known(tmp_path: Path) -> None:
    folder = a_practice(tmp_path)
    write_run(folder, "2026-11-20-22345", PrintRun(date="2026-11-20", cards=(card("22345"), card("33333", "r/blue"))))
    second = PrintRun(date="2026-11-25", cards=(card("44444"),), taken_out=(TakenOut(card="r/blue", language="en"),))
    write_run(folder, "2026-11-25-55555", second)
    record = read_practice(folder).printed
    assert {key: hung.card.edition for key, hung in record.posted.items()} == {("r/teal", "en"): "44444"}
    assert [hung.date for hung in record.printings["r/teal", "en"]] == ["2026-11-20", "2026-11-25"]
    assert record.posted["r/teal", "en"].card.front == FRONT
    assert record.latest == ("2026-11-20-22345", "2026-11-25-55555"), "neither of the two knew of the other"


def test_what_hangs_does_not_depend_on_the_order_in_which_the_acts_are_read() -> None:
    """Three runs of one day: the second follows the first, the third both; the names say nothing of the order."""
    runs = {
        "2026-11-25-99999": PrintRun(date="2026-11-25", cards=(card("22222"),)),
        "2026-11-25-33333": PrintRun(date="2026-11-25", cards=(card("33333"),), follows=("2026-11-25-99999",)),
        "2026-11-25-22222": PrintRun(date="2026-11-25", cards=(card("44444"),), follows=("2026-11-25-33333",)),
        "2026-11-24-XXXXX": PrintRun(date="2026-11-24", cards=(card("55555"),), follows=("2026-11-25-22222",)),
    }
    for names in itertools.permutations(runs):
        record = PrintRecord(runs={name: runs[name] for name in names})
        assert record.posted["r/teal", "en"].card.edition == "44444"
        assert record.in_order[0] == "2026-11-24-XXXXX", "the day goes before everything"


def test_acts_that_follow_each_other_in_a_ring_are_still_read() -> None:
    runs = {
        name: PrintRun(date="2026-11-25", cards=(card(edition),), follows=(other, "2026-01-01-GONE2"))
        for name, edition, other in (("a", "22222", "b"), ("b", "33333", "a"))
    }
    assert PrintRecord(runs=runs).posted["r/teal", "en"].card.edition == "33333"


def test_two_acts_of_a_day_that_disagree_about_a_card_are_told_until_somebody_looks() -> None:
    first = PrintRun(date="2026-11-20", cards=(card("22222"), card("22222", "r/pink"), card("22222", "r/navy")))
    ours = PrintRun(date="2026-11-25", cards=(card("33333"), card("33333", "r/pink")), follows=("a",))
    theirs = PrintRun(date="2026-11-25", cards=(card("44444"), card("33333", "r/pink")), follows=("a",))
    runs = {"a": first, "b": ours, "c": theirs}
    assert PrintRecord(runs=runs).disputed == {("r/teal", "en"): ("33333", "44444")}
    looked = PrintRun(date="2026-11-25", cards=(card("44444"),), follows=("b", "c"))
    assert PrintRecord(runs=runs | {"d": looked}).disputed == {}
    later = theirs.model_copy(update={"date": "2026-11-26"})
    assert PrintRecord(runs=runs | {"c": later}).disputed == {}, "what was hung a day later hangs"


def test_what_somebody_else_printed_on_the_day_on_which_it_was_taken_out_may_hang() -> None:
    gone = (TakenOut(card="r/teal", language="en"),)
    runs = {
        "a": PrintRun(date="2026-11-20", cards=(card("22222"),)),
        "b": PrintRun(date="2026-11-25", cards=(card("33333"),), follows=("a",)),
        "c": PrintRun(date="2026-11-25", taken_out=gone, follows=("a",)),
    }
    assert PrintRecord(runs=runs).posted["r/teal", "en"].card.edition == "33333"
    runs["d"] = PrintRun(date="2026-11-25", taken_out=gone, follows=("b", "c"))
    assert PrintRecord(runs=runs).posted == {}


def test_an_edition_that_comes_back_has_the_words_that_were_kept_the_first_time() -> None:
    again = PrintedCard(card="r/teal", language="en", edition="22222", title="Teal")
    runs = {
        "a": PrintRun(date="2026-11-01", cards=(card("22222"),)),
        "b": PrintRun(date="2026-11-02", cards=(card("33333"),)),
        "c": PrintRun(date="2026-11-03", cards=(again,)),
    }
    assert PrintRecord(runs=runs).posted["r/teal", "en"].card.front == FRONT


def test_an_act_is_never_overwritten(tmp_path: Path) -> None:
    write_run(tmp_path, "2026-11-25-22222", PrintRun(date="2026-11-25", by="one"))
    before = (tmp_path / "printed" / "2026-11-25-22222.yaml").read_bytes()
    with pytest.raises(PublishError, match="says something else"):
        write_run(tmp_path, "2026-11-25-22222", PrintRun(date="2026-11-25", by="another"))
    assert [file.read_bytes() for file in (tmp_path / "printed").iterdir()] == [before]


def test_a_folder_that_cannot_be_written_to_is_told(tmp_path: Path) -> None:
    (tmp_path / "printed").write_text("a file where the folder should be", "utf-8")
    with pytest.raises(PublishError, match="nothing was recorded"):
        write_run(tmp_path, "2026-11-25-22222", PrintRun(date="2026-11-25"))


def test_the_next_run_removes_what_a_killed_one_left_beside_the_acts(tmp_path: Path) -> None:
    write_run(tmp_path, "2026-11-25-22222", PrintRun(date="2026-11-25"))
    left, named = (tmp_path / "printed" / name for name in (".kitdocs-file-a1b2c3d4", ".kitdocs-file-x"))
    for file in (left, named):
        file.write_text("date: 2026-", "utf-8")
    write_run(tmp_path, "2026-11-26-33333", PrintRun(date="2026-11-26"))
    assert not left.exists(), "it belongs to no run any more"
    assert named.exists(), "kitdocs names nothing so"
    assert sorted(path.name for path in (tmp_path / "printed").iterdir()) == [
        named.name,
        "2026-11-25-22222.yaml",
        "2026-11-26-33333.yaml",
    ]


@pytest.mark.skipif(sys.platform == "win32", reason="simulates a disk as POSIX systems have it")
def test_where_files_cannot_be_locked_only_an_old_leftover_is_removed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unsupported(descriptor: int, operation: int) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr("fcntl.flock", unsupported)
    old, young = (tmp_path / f".kitdocs-file-{name}" for name in ("a1b2c3d4", "e5f6a7b8"))
    for file in (old, young):
        file.write_text("date: 2026-", "utf-8")
    os.utime(old, (time.time() - 3700,) * 2)
    write_whole(tmp_path / "new", b"whole")
    assert (old.exists(), young.exists()) == (False, True)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no umask")
def test_a_new_file_follows_the_umask_and_an_old_one_keeps_who_may_read_it(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_whole(tmp_path / "new", b"new")
        (tmp_path / "secret").touch(0o600)
        write_whole(tmp_path / "secret", b"new")
    finally:
        os.umask(before)
    assert [(tmp_path / name).stat().st_mode & 0o777 for name in ("new", "secret")] == [0o640, 0o600]


def test_fifty_acts_are_read_in_the_time_of_a_blink(tmp_path: Path) -> None:
    """A first run of a hundred cards and forty-nine of ten, each card with a dozen rows in ten lists."""
    folder = a_practice(tmp_path)
    rows = [{"id": f"row-{n}", "name": f"An instrument of some name, number {n}", "count": n} for n in range(12)]
    front = tuple({"is": "items", "items": rows} for _ in range(3))
    chance = random.Random(6)
    for n in range(50):
        cards = tuple(
            PrintedCard(
                card=f"r/{chance.randrange(100) if n else c}-{c}",
                language="en",
                edition=f"222{ALPHABET[n % 24]}{ALPHABET[n // 24]}",
                title="A card",
                front=front,
            )
            for c in range(10 if n else 100)
        )
        figures = {f"stock.{name}": name for name in range(80)}
        write_run(
            folder,
            f"2026-{1 + n // 28:02}-{1 + n % 28:02}-22222",
            PrintRun(date=f"2026-{1 + n // 28:02}-{1 + n % 28:02}", cards=cards, figures=figures),
        )
    began = time.process_time()
    read_practice(VALID)
    without = time.process_time() - began
    began = time.process_time()
    record = read_practice(folder).printed
    record.posted  # noqa: B018
    with_acts = time.process_time() - began
    began = time.process_time()
    for file in (folder / "printed").iterdir():
        for line in file.read_text("utf-8").splitlines():
            if line.startswith("    {"):
                json.loads(line)
    as_json_alone = time.process_time() - began
    assert len(record.runs) == 50
    # A ratio, not a time, because machines differ: as YAML in YAML the same words take some hundred times as long.
    assert with_acts - without < 60 * as_json_alone
