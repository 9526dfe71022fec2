"""Records that practices share: put together field by field, with both places in every problem."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from bad_inputs import VALID, outcome
from editing import edit
from PIL import Image

from kitdocs.command.kept import content_of
from kitdocs.document.blocks import Steps
from kitdocs.group.found import packed, unpacked
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.planning.plan import make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.workbook.bringing_back import BroughtBack
from kitdocs.workbook.texts import read_texts

DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 18 22"><rect x="1" y="1" width="9" height="9"/></svg>'


@pytest.fixture
def ours(tmp_path: Path) -> Path:
    """The valid practice, with its instruments and cassettes in a shared folder beside it."""
    folder = Path(shutil.copytree(VALID, tmp_path / "ours"))
    (tmp_path / "common").mkdir()
    for name in ("instruments.yaml", "cassettes.yaml"):
        (folder / name).rename(tmp_path / "common" / name)
    text = (folder / "practice.yaml").read_text("utf-8")
    (folder / "practice.yaml").write_text(f"common: ../common\n{text}", "utf-8")
    return folder


def records(practice: Practice) -> object:
    return practice.instruments, practice.cassettes, practice.sets, practice.procedures, practice.pages


def test_a_practice_that_shares_all_its_instruments_is_the_practice_that_has_them_itself(ours: Path) -> None:
    assert records(read_practice(ours)) == records(read_practice(VALID))
    assert outcome(ours) == ""


def test_what_a_practice_writes_of_a_record_holds_and_the_shared_record_says_the_rest(ours: Path) -> None:
    id_, shared = next(iter(read_practice(ours).instruments.items()))
    (ours / "instruments.yaml").write_text(f"{id_}:\n  length: 222 mm\n", "utf-8")
    practice = read_practice(ours)
    assert practice.instruments[id_] == shared.model_copy(update={"length": 222.0})
    assert list(practice.instruments) == list(read_practice(VALID).instruments)
    assert practice.places.value("instruments", id_, "length").file == "instruments.yaml"
    assert practice.places.value("instruments", id_, "width").file == "../common/instruments.yaml"


def test_a_field_that_the_practice_writes_has_no_place_in_the_shared_file(ours: Path) -> None:
    id_ = next(iter(read_practice(ours).instruments))
    shared = ours.parent / "common" / "instruments.yaml"
    text = shared.read_text("utf-8")
    at = text.index("name: ", text.index(f"{id_}:"))
    shared.write_text(text[:at] + "name: {en: Shared}" + text[text.index("\n", at) :], "utf-8")
    assert ("instruments", id_, "name", "en") in read_practice(ours).places.values
    (ours / "instruments.yaml").write_text(f"{id_}:\n  name: Ours\n", "utf-8")
    practice = read_practice(ours)
    assert practice.instruments[id_].name.in_language("en") == "Ours"
    assert ("instruments", id_, "name", "en") not in practice.places.values


@pytest.mark.parametrize(
    ("mistaken", "first", "other"),
    [
        ("ours", "instruments.yaml:2:11", "../common/instruments.yaml"),
        ("common", "../common/instruments.yaml", "instruments.yaml:1:1"),
    ],
)
def test_a_problem_in_a_record_that_is_put_together_names_both_places(
    ours: Path, mistaken: str, first: str, other: str
) -> None:
    id_ = next(iter(read_practice(ours).instruments))
    length = "long" if mistaken == "ours" else "150 mm"
    (ours / "instruments.yaml").write_text(f"{id_}:\n  length: {length}\n", "utf-8")
    if mistaken == "common":
        shared = ours.parent / "common" / "instruments.yaml"
        text = shared.read_text("utf-8")
        shared.write_text(text.replace("width: ", "width: about ", 1), "utf-8")
    with pytest.raises(PracticeError) as caught:
        read_practice(ours)
    (problem,) = (problem for problem in caught.value.problems if problem.severity == "error")
    assert str(problem).startswith(first)
    assert "\n    this record is put together with " + other in str(problem)


def test_a_shared_instrument_that_the_practice_never_names_is_not_one_of_it(ours: Path) -> None:
    shared = ours.parent / "common" / "instruments.yaml"
    extra = "\nother-scaler:\n  name: Other scaler\n  drawing: scaler\n  length: 170 mm\n  width: 9 mm\n"
    shared.write_text(shared.read_text("utf-8") + extra, "utf-8")
    assert "other-scaler" not in read_practice(ours).instruments
    (ours / "stock.csv").write_text("instrument,on_hand\nother-scaler,4\n", "utf-8")
    assert "other-scaler" in read_practice(ours).instruments


def test_a_shared_page_is_replaced_by_the_practices_own_and_left_out_in_a_language_it_does_not_list(ours: Path) -> None:
    pages = ours.parent / "common" / "pages"
    pages.mkdir()
    for name, text in (("ours.md", "# Shared\n"), ("theirs.md", "# Theirs\n"), ("theirs.es.md", "# Suyo\n")):
        (pages / name).write_text(text, "utf-8")
    (ours / "pages" / "ours.md").write_text("# Our own\n", "utf-8")
    found = {page.id: dict(page.text) for page in read_practice(ours).pages}
    assert found["ours"] == {"": "# Our own\n"}
    assert found["theirs"] == {"": "# Theirs\n"}


def test_a_shared_sentence_is_said_unless_the_practice_has_its_own(ours: Path) -> None:
    (ours.parent / "common" / "words.en.yaml").write_text(
        "rules:\n  wipe-cement: Wipe it off at once, we say.\nsite:\n  skip: Jump\n", "utf-8"
    )
    (ours / "words.en.yaml").write_text("site:\n  skip: Go on\n", "utf-8")
    assert read_practice(ours).words["en"] == {
        "rules.wipe-cement": "Wipe it off at once, we say.",
        "site.skip": "Go on",
    }


def test_a_shared_folder_that_is_missing_is_told_at_the_line_that_names_it(ours: Path) -> None:
    (ours.parent / "common").rename(ours.parent / "shared")
    said = outcome(ours)
    assert said.startswith("cassettes.yaml:1:1: cassettes: the file is missing")
    assert "practice.yaml:1:9: practice.common: there is no folder '../common' beside this one" in said


@pytest.mark.parametrize("named", ["common", "../../etc", "/etc", "../a/b", "../.."])
def test_only_a_folder_beside_the_practice_can_be_shared(ours: Path, named: str) -> None:
    text = (ours / "practice.yaml").read_text("utf-8")
    (ours / "practice.yaml").write_text(text.replace("../common", named), "utf-8")
    with pytest.raises(PracticeError) as caught:
        read_practice(ours)
    assert "practice.common" in [problem.path for problem in caught.value.problems]


def test_what_is_kept_between_runs_depends_on_the_shared_files(ours: Path) -> None:
    before = content_of(ours)
    shared = ours.parent / "common" / "instruments.yaml"
    shared.write_text(shared.read_text("utf-8") + "# a word\n", "utf-8")
    assert content_of(ours) != before
    assert {name for name in content_of(ours) if "/" not in name} >= {"(common) instruments.yaml", "practice.yaml"}


def test_a_folder_as_a_workbook_would_make_it_still_finds_what_it_shares(ours: Path) -> None:
    texts = read_texts(ours)
    assert "instruments" not in texts
    brought = BroughtBack(
        folder=ours,
        edits=[],
        problems=[],
        told=[],
        texts={"chairs": texts["chairs"]},
        comments={},
        cells={},
        places=read_practice(ours).places,
        now=texts,
        made_of=texts,
    )
    with brought.would_be() as would_be:
        assert records(read_practice(would_be)) == records(read_practice(ours))


def test_a_shared_photo_and_drawing_are_taken_unless_the_practice_has_its_own(ours: Path) -> None:
    one, two, *_ = read_practice(ours).instruments
    shared = ours.parent / "common"
    for folder in (shared, ours):
        for kind in ("photos", "drawings"):
            (folder / kind).mkdir(exist_ok=True)
    for name in (f"{one}.png", f"{two}.png", "no-instrument.png"):
        Image.new("RGB", (40, 30), "white").save(shared / "photos" / name)
    Image.new("RGB", (40, 30), "black").save(ours / "photos" / f"{two}.jpg")
    (shared / "drawings" / f"{one}.svg").write_text(DRAWING, "utf-8")
    practice = read_practice(ours)
    assert {id_: path.relative_to(ours.parent).as_posix() for id_, path in practice.photos.items()} == {
        one: f"common/photos/{one}.png",
        two: f"ours/photos/{two}.jpg",
    }
    assert set(practice.drawings) == {one}
    assert practice.places.value("photos", one).file == f"../common/photos/{one}.png"
    with unpacked(packed("ours", ours)) as elsewhere:
        assert set(read_practice(elsewhere).photos) == {one, two}
        assert read_practice(elsewhere).drawings == practice.drawings


def test_what_is_wrong_with_a_shared_picture_names_its_file(ours: Path) -> None:
    one, two, *_ = read_practice(ours).instruments
    shared = ours.parent / "common"
    (shared / "photos").mkdir()
    (shared / "photos" / f"{one}.png").write_bytes(b"no picture")
    (shared / "drawings").mkdir()
    (shared / "drawings" / f"{two}.svg").write_text("<svg", "utf-8")
    said = outcome(ours)
    assert f"../common/photos/{one}.png" in said
    assert f"../common/drawings/{two}.svg" in said


def test_a_table_that_is_none_is_told_beside_shared_pictures_too(ours: Path) -> None:
    (ours.parent / "common" / "photos").mkdir()
    (ours / "sets.yaml").write_text("- {name: Exam}\n", "utf-8")
    assert "sets.yaml:1" in outcome(ours)


def test_a_step_of_a_mishap_that_a_group_has_written_is_on_the_card_of_each_practice(started: Path) -> None:
    text = "At Gull House, look at it and bag it."
    (started.parent / "common").mkdir()
    (started.parent / "common" / "words.en.yaml").write_text(f"rules:\n  dropped-look: {text}\n", "utf-8")
    edit(started / "practice.yaml", "\nname:", "\ncommon: ../common\nname:")
    practice = read_practice(started)
    (handbook,) = make_handbooks(practice, make_plan(practice, days=20))
    steps = [step.text for block in handbook.card("mishaps").front if isinstance(block, Steps) for step in block.steps]
    assert text in steps
