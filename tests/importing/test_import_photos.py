"""`kitdocs import photos/ FOLDER` as a person runs it: a contact sheet, questions once, photos named by id."""

from __future__ import annotations

import hashlib
import io
import json
import shutil
import sys
from pathlib import Path

import openpyxl
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
import typer
from asking import Ask
from phone_photos import CANARIES, WRITES_ALL, canaries_in, photo, scene
from PIL import Image

from kitdocs.importing.found import as_about
from kitdocs.importing.grids import UnreadableError
from kitdocs.importing.memory import remembered
from kitdocs.importing.photos_into_folder import import_photos
from kitdocs.practice.photos import photo_to_keep
from kitdocs.practice.reading.reader import read_practice

#: The photos of a phone, and what they show.
PHONE = {"IMG_4711.HEIC": "mirror", "IMG_4712.JPG": "Weingart plier", "IMG_4713.JPG": "birdbeak"}
IDS = {"IMG_4711.HEIC": "mirror", "IMG_4712.JPG": "weingart", "IMG_4713.JPG": "bird-beak"}


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    folder = tmp_path / "phone"
    folder.mkdir()
    for number, name in enumerate(PHONE):
        kind = "heic" if name.endswith("HEIC") else "jpg"
        (folder / name).write_bytes(photo(kind, (1, 6, 3)[number], scene(shade=80 * number)))
    return folder


@pytest.fixture(autouse=True)
def somewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A contact sheet is written where the command runs."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    return tmp_path / "here"


def digests(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith(".kitdocs")
    }


def fill_in(sheet: Path, answers: dict[str, str]) -> None:
    """Answers by the name of the file, as a person types them into the last column."""
    book = openpyxl.load_workbook(sheet)
    for row in book.worksheets[0].iter_rows(min_row=2):
        row[5].value = next((a for name, a in answers.items() if name in str(row[2].value)), None)
    book.save(sheet)


def text_of(pdf: Path) -> str:
    document = pypdfium2.PdfDocument(pdf)
    return "\n".join(page.get_textpage().get_text_bounded() for page in document)


def brought(ask: Ask, phone: Path, started: Path, tmp_path: Path, answers: dict[str, str]) -> None:
    sheet = tmp_path / "questions.xlsx"
    assert ask("import", phone, started, "--ask", sheet).status == 5
    fill_in(sheet, answers)
    assert ask("import", phone, started, "--ask", sheet).status == 0


def test_photos_are_asked_about_once_and_stand_under_their_ids(
    ask: Ask, phone: Path, started: Path, tmp_path: Path
) -> None:
    sources, before = digests(phone), digests(started)
    sheet = tmp_path / "questions.xlsx"
    first = ask("import", phone, started, "--ask", sheet)
    assert first.status == 5 and "3 photos" in first.out and "with 3 questions" in first.out.replace("\n", " ")
    assert digests(started) == before, "nothing is known yet, and nothing is written"
    fill_in(sheet, PHONE)
    second = ask("import", phone, started, "--ask", sheet)
    assert second.status == 0 and "photos/bird-beak.jpg: IMG_4713.JPG" in second.out
    after = digests(started)
    assert set(after) - set(before) == {"import.yaml", *(f"photos/{id_}.jpg" for id_ in IDS.values())}
    assert {name: after[name] for name in before} == before, "no file that was there has changed"
    for name, id_ in IDS.items():
        kept = (started / "photos" / f"{id_}.jpg").read_bytes()
        assert kept == photo_to_keep((phone / name).read_bytes()).jpeg and canaries_in(kept) == set()
    assert set(read_practice(started).photos) == set(IDS.values())
    third = ask("import", phone, started)
    assert third.status == 0 and "3 photos are in the folder already" in third.out and "?" not in third.out
    assert digests(started) == after and digests(phone) == sources


def test_nothing_of_a_file_but_its_pixels_reaches_the_folder(
    ask: Ask, phone: Path, started: Path, tmp_path: Path
) -> None:
    """Neither its metadata nor its name, which somebody may have given it after a person."""
    (phone / "IMG_4712.JPG").rename(phone / "Smith Anna 2026.JPG")
    answers = {**PHONE, "Smith Anna": "weingart"}
    brought(ask, phone, started, tmp_path, answers)
    for path in started.rglob("*"):
        if path.is_file():
            data = path.read_bytes()
            assert canaries_in(data) == set() and b"smith" not in data.lower() and b"img_" not in data.lower(), path
            assert "smith" not in path.name.lower()
    assert all(len(about) == 2 and about[0] == "photos" for about in remembered(started)[0])


def test_the_contact_sheet_shows_each_photo_with_its_number(
    ask: Ask, phone: Path, started: Path, somewhere: Path
) -> None:
    answer = ask("import", phone, started)
    assert answer.status == 5 and "Wrote contact-sheet.pdf" in answer.out
    assert "Photos show instruments only" in answer.out
    text = text_of(somewhere / "contact-sheet.pdf")
    for number, name in enumerate(PHONE, 1):
        assert name in text and f"\n{number}" in f"\n{text}"
        assert f"photo {number} ({name})" in answer.out
    assert "bird-beak" in text and "Bird-beak plier" in text and "Photos show instruments only" in text
    pages = pypdfium2.PdfDocument(somewhere / "contact-sheet.pdf")
    images = [i for page in pages for i in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE], max_depth=9)]
    assert len(images) == 3 and canaries_in((somewhere / "contact-sheet.pdf").read_bytes()) == set()


def test_the_contact_sheet_stands_beside_the_questions_or_where_it_is_wanted(
    ask: Ask, phone: Path, started: Path, tmp_path: Path, somewhere: Path
) -> None:
    ask("import", phone, started, "--ask", tmp_path / "q.xlsx")
    assert (tmp_path / "q.pdf").exists() and not (somewhere / "contact-sheet.pdf").exists()
    ask("import", phone, started, "--contact-sheet", tmp_path / "own.pdf", "--quiet")
    assert (tmp_path / "own.pdf").exists()
    (somewhere / "contact-sheet.pdf").write_bytes(b"mine")
    assert ask("import", phone, started).status == 2
    assert (somewhere / "contact-sheet.pdf").read_bytes() == b"mine"


def test_a_file_may_have_any_name(ask: Ask, phone: Path, started: Path, somewhere: Path) -> None:
    (phone / "IMG_4711.HEIC").rename(phone / "写真 😀 #1 *b* [x] $y$ <z> “q” .heic")
    assert ask("import", phone, started).status == 5
    assert "?? ? #1 *b* [x] $y$ <z> “q” .heic" in text_of(somewhere / "contact-sheet.pdf")


def test_everything_is_said_in_spanish_too(ask: Ask, phone: Path, started: Path, somewhere: Path) -> None:
    answer = ask("import", phone, started, "--language", "es")
    assert "¿Qué instrumento muestra la foto 1 (IMG_4711.HEIC)?" in answer.out
    assert "Las fotos muestran solo instrumentos" in answer.out
    assert "Hoja de contactos" in text_of(somewhere / "contact-sheet.pdf")


def test_the_sheet_of_questions_has_a_list_of_all_ids(ask: Ask, phone: Path, started: Path, tmp_path: Path) -> None:
    ask("import", phone, started, "--ask", tmp_path / "q.xlsx")
    book = openpyxl.load_workbook(tmp_path / "q.xlsx")
    questions, listed = book.worksheets
    ids = [row[0] for row in listed.iter_rows(min_row=2, values_only=True)]
    assert ids[0] == "-" and {*read_practice(started).instruments} <= {*ids}
    (rule, *_) = questions.data_validations.dataValidation
    assert rule.formula1 == f"'{listed.title}'!$A$2:$A${len(ids) + 1}"


@pytest.mark.parametrize(
    ("file", "id_"),
    [
        ("weingart.jpg", "weingart"),
        ("Weingart Plier.JPG", "weingart"),
        ("weingarts.jpg", "weingart"),
        ("bird-beak.jpg", "bird-beak"),
        ("hard_wire_cutter.jpg", "hard-wire-cutter"),
        ("adjustment.jpg", "adjustment"),
        ("Bending pouch.jpg", "bends"),
    ],
)
def test_a_file_that_is_named_after_something_is_not_asked_about(
    ask: Ask, started: Path, tmp_path: Path, file: str, id_: str
) -> None:
    (tmp_path / file).write_bytes(photo("jpg"))
    answer = ask("import", tmp_path / file, started)
    assert answer.status == 0 and (started / "photos" / f"{id_}.jpg").exists()
    assert (" → " in answer.out) == (file != f"{id_}.jpg"), "what was taken for what is told"


@pytest.mark.parametrize("file", ["IMG_4711.jpg", "carrot.jpg", "plier.jpg", "weingart 2.jpg", "DSC00012.jpg"])
def test_any_other_name_is_asked_about(ask: Ask, started: Path, tmp_path: Path, file: str) -> None:
    (tmp_path / file).write_bytes(photo("jpg"))
    answer = ask("import", tmp_path / file, started)
    assert answer.status == 5 and not (started / "photos").exists()
    assert ("[weingart]" in answer.out) == file.startswith("weingart"), "a number behind a name is no other name"


def test_what_shows_no_instrument_or_somebody_is_left_out_for_good(
    ask: Ask, phone: Path, started: Path, tmp_path: Path
) -> None:
    brought(ask, phone, started, tmp_path, {**PHONE, "IMG_4712.JPG": "-"})
    answer = ask("import", phone, started)
    assert answer.status == 0 and "IMG_4712.JPG (left out, as you said)" in answer.out
    assert not (started / "photos" / "weingart.jpg").exists()


def test_an_answer_that_is_not_understood_is_asked_again(ask: Ask, phone: Path, started: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "q.xlsx"
    ask("import", phone, started, "--ask", sheet)
    fill_in(sheet, {**PHONE, "IMG_4712.JPG": "carrot"})
    assert ask("import", phone, started, "--ask", sheet).status == 5
    (row,) = openpyxl.load_workbook(sheet).worksheets[0].iter_rows(min_row=2, values_only=True)
    assert row[2] == "IMG_4712.JPG" and row[5] == "carrot"
    assert "carrot" not in (started / "import.yaml").read_text("utf-8")


def test_of_several_photos_of_one_thing_a_person_chooses_and_is_asked_again_when_there_is_another(
    ask: Ask, phone: Path, started: Path, tmp_path: Path
) -> None:
    sheet = tmp_path / "q.xlsx"
    ask("import", phone, started, "--ask", sheet)
    fill_in(sheet, {**PHONE, "IMG_4713.JPG": "weingart"})
    answer = ask("import", phone, started, "--ask", sheet)
    assert answer.status == 5 and not (started / "photos" / "weingart.jpg").exists()
    (row,) = openpyxl.load_workbook(sheet).worksheets[0].iter_rows(min_row=2, values_only=True)
    assert "photo 2, IMG_4712.JPG" in str(row[3]) and "photo 3, IMG_4713.JPG" in str(row[3])
    fill_in(sheet, {"IMG_4712.JPG, IMG_4713.JPG": "y"})
    assert ask("import", phone, started, "--ask", sheet).status == 0
    third = ask("import", phone, started)
    assert third.status == 0 and "IMG_4712.JPG (IMG_4713.JPG is shown for weingart)" in third.out
    (phone / "weingart.jpg").write_bytes(photo("png", image=scene(shade=250)))
    assert "several photos of Weingart plier" in ask("import", phone, started).out


def test_a_photo_of_the_folder_is_replaced_only_when_somebody_says_so(ask: Ask, started: Path, tmp_path: Path) -> None:
    (started / "photos").mkdir()
    mine = started / "photos" / "weingart.png"
    scene(300, 300, shade=7).save(mine)
    before = mine.read_bytes()
    (tmp_path / "Weingart plier.jpg").write_bytes(photo("jpg"))
    answer = ask("import", tmp_path / "Weingart plier.jpg", started)
    assert answer.status == 5 and "1 photo of the folder stays as it is; --yes replaces it" in answer.out
    assert mine.read_bytes() == before
    assert ask("import", tmp_path / "Weingart plier.jpg", started, "--dry-run", "--yes").status == 0
    assert mine.read_bytes() == before
    assert ask("import", tmp_path / "Weingart plier.jpg", started, "--yes").status == 0
    assert [path.name for path in (started / "photos").iterdir() if path.suffix] == ["weingart.jpg"]


def test_a_photo_that_another_version_saved_is_the_same_photo(
    ask: Ask, phone: Path, started: Path, tmp_path: Path
) -> None:
    brought(ask, phone, started, tmp_path, PHONE)
    kept = started / "photos" / "weingart.jpg"
    Image.open(io.BytesIO(kept.read_bytes())).save(kept, "JPEG", quality=98, subsampling=0)
    before = kept.read_bytes()
    answer = ask("import", phone, started)
    assert answer.status == 0 and "3 photos are in the folder already" in answer.out
    assert kept.read_bytes() == before


def test_a_photo_that_cannot_be_decoded_is_named_and_the_others_are_brought(
    ask: Ask, phone: Path, started: Path, tmp_path: Path
) -> None:
    (phone / "IMG_4714.HEIC").write_bytes(
        photo("heic", image=Image.effect_noise((300, 200), 90).convert("RGB"))[:-9000]
    )
    (phone / "IMG_4711.MOV").write_bytes(b"\0\0\0\x14ftypqt  ")
    sheet = tmp_path / "q.xlsx"
    ask("import", phone, started, "--ask", sheet)
    fill_in(sheet, PHONE)
    answer = ask("import", phone, started, "--ask", sheet)
    assert answer.status == 1 and "IMG_4714.HEIC: the photo is damaged or cut off; copy it again" in answer.out
    assert "IMG_4711.MOV (not a photo)" in answer.out
    assert len(list((started / "photos").glob("*.jpg"))) == 3
    assert "IMG_4714.HEIC: the photo is damaged" in ask("import", phone, started, "--quiet").out


def test_check_names_a_photo_that_lies_in_the_folder_as_it_came(ask: Ask, phone: Path, started: Path) -> None:
    (started / "photos").mkdir()
    for path in phone.iterdir():
        (started / "photos" / path.name).write_bytes(path.read_bytes())
    (started / "photos" / "mirror.jpg").write_bytes(photo("jpg")[:-4000])
    checked = ask("check", started)
    assert checked.status == 1
    said = " ".join(checked.out.split())
    assert "photos/IMG_4711.HEIC:1:1" in said and "kitdocs import photos/IMG_4711.HEIC" in said
    assert "photos/mirror.jpg:1:1" in said and "'IMG_4712.JPG' is not named after" in said


def test_photos_that_lie_in_the_folder_itself_are_brought_from_there(
    ask: Ask, phone: Path, started: Path, tmp_path: Path
) -> None:
    (started / "photos").mkdir()
    for path in phone.iterdir():
        (started / "photos" / path.name).write_bytes(path.read_bytes())
    inside, sheet = started / "photos", tmp_path / "q.xlsx"
    ask("import", inside, started, "--ask", sheet)
    fill_in(sheet, PHONE)
    answer = ask("import", inside, started, "--ask", sheet)
    assert answer.status == 0 and "Move them out of it" in " ".join(answer.out.split())
    assert {path.name for path in inside.iterdir()} >= {*PHONE, "weingart.jpg"}
    again = ask("import", inside, started)
    assert again.status == 0 and "3 photos" in again.out, "what was brought is not looked at again"


def test_where_there_are_no_instruments_yet_it_says_what_comes_first(ask: Ask, phone: Path, tmp_path: Path) -> None:
    answer = ask("import", phone, tmp_path / "new")
    assert answer.status == 1 and "bring its inventory first" in answer.err + answer.out
    assert not (tmp_path / "new").exists()


def test_photos_and_lists_are_not_mixed(ask: Ask, phone: Path, started: Path, tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("Instrument\nmirror\n", "utf-8")
    answer = ask("import", phone, tmp_path / "a.csv", started)
    assert answer.status == 2 and "photos by themselves" in " ".join(answer.err.replace("│", " ").split())


def test_the_same_is_done_from_python(ask: Ask, phone: Path, started: Path, tmp_path: Path) -> None:
    by_hand = Path(shutil.copytree(started, tmp_path / "by-hand"))
    asked = import_photos([phone], started)
    doubts = asked.named.found.doubts
    assert len(doubts) == len(PHONE) and asked.written == ()
    answers = {as_about(*doubt.about): PHONE[doubt.sources[0]] for doubt in doubts}
    done = import_photos([str(phone)], str(started), answers=answers)
    assert set(done.written) == {"import.yaml", *(f"photos/{id_}.jpg" for id_ in IDS.values())}
    brought(ask, phone, by_hand, tmp_path, PHONE)
    assert digests(started) == digests(by_hand)
    with pytest.raises(UnreadableError):
        import_photos([tmp_path / "nowhere"], started)


def test_a_cassette_has_a_photo_too(ask: Ask, started: Path, tmp_path: Path) -> None:
    """The sheets of a first visit show it."""
    (tmp_path / "slim.jpg").write_bytes(photo("jpg", 1, scene()))
    assert ask("import", tmp_path / "slim.jpg", started).status == 0
    assert (started / "photos" / "slim.jpg").exists()
    assert "slim.jpg" not in ask("check", started).out


def test_another_program_gets_everything_as_json(ask: Ask, phone: Path, started: Path, somewhere: Path) -> None:
    answer = ask("import", phone, started, "--json")
    told = json.loads(answer.out)
    assert answer.status == 5 and [each["file"] for each in told["photos"]] == list(PHONE)
    assert [each["about"] for each in told["questions"]] == [["photos", each["digest"]] for each in told["photos"]]
    assert told["written"] == [] and not list(somewhere.iterdir())


def test_a_person_at_a_terminal_is_asked_one_by_one(
    ask: Ask, phone: Path, started: Path, monkeypatch: pytest.MonkeyPatch, somewhere: Path
) -> None:
    typed = iter(["mirror", "weingarts", "-"])
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True)
    monkeypatch.setattr(typer, "prompt", lambda text, default="", **how: next(typed))
    answer = ask("import", phone, started)
    assert answer.status == 0 and "1/3  Which instrument does photo 1 (IMG_4711.HEIC) show?" in answer.err
    assert {path.name for path in (started / "photos").glob("*.jpg")} == {"mirror.jpg", "weingart.jpg"}
    assert (somewhere / "contact-sheet.pdf").exists()


def test_a_link_that_leads_out_of_the_folder_is_not_written_through(ask: Ask, started: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (started / "photos").symlink_to(tmp_path / "elsewhere")
    (tmp_path / "mirror.jpg").write_bytes(photo("jpg"))
    answer = ask("import", tmp_path / "mirror.jpg", started)
    assert answer.status == 1 and "leads out of it" in answer.err + answer.out
    assert not list((tmp_path / "elsewhere").iterdir())


@WRITES_ALL
def test_the_canaries_would_be_found() -> None:
    assert canaries_in(photo("jpg")) == {*CANARIES, "gps"}
