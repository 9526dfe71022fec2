"""What a procedure that is new in a folder with sets still needs: minutes, and the add-ons for what its set lacks."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kitdocs.command.import_answer import sayer
from kitdocs.importing.bringing import bring, known_of
from kitdocs.importing.found import About
from kitdocs.importing.into_folder import import_lists
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice


def _scans(folder: Path) -> Path:
    rows = [["Date", "Time", "Chair", "Type"]]
    days = (2, 3, 4, 5, 9, 10, 11, 12, 16, 17)
    rows += [[f"2026-03-{day:02d}", f"{hour}:00", "Chair 1", "PANO SCAN"] for day in days for hour in (9, 10, 11)]
    (folder / "scans.csv").write_text("\n".join(map(",".join, rows)), "utf-8")
    return folder / "scans.csv"


@pytest.fixture
def ours(tmp_path: Path) -> Path:
    shutil.copytree("example_practice", tmp_path / "ours")
    return tmp_path / "ours"


_NEW: dict[About, str] = {("types", "pano scan"): "new", ("days", "schedule"): "figures"}
_NEEDS = "mirror, explorer, bird-beak, strip-holder 8%, howe"


def test_the_minutes_of_a_new_procedure_are_asked_where_no_list_has_them(ours: Path, tmp_path: Path) -> None:
    brought = bring([_scans(tmp_path)], known_of(ours, _NEW))
    doubt = next(doubt for doubt in brought.found.doubts if doubt.about == ("minutes", "pano-scan"))
    assert doubt.needed and not doubt.choices
    assert [doubt.refuses(text) is None for text in ("20", "20 min", "1 h 15", "soon", "0", "700")] == [
        *[True] * 3,
        *[False] * 3,
    ]
    for typed, written in (("20", "20 min"), ("1 h 15", "1 h 15")):
        known = known_of(ours, {**_NEW, ("minutes", "pano-scan"): typed})
        found = bring([_scans(tmp_path)], known).found
        assert next(r for r in found.records if r.id == "pano-scan").fields["minutes"] == written
        assert ("minutes", "pano-scan") not in {doubt.about for doubt in found.doubts}


def test_a_chosen_set_that_lacks_something_raises_the_question_for_add_ons_and_check_is_content(
    ours: Path, tmp_path: Path
) -> None:
    """As check finds it: what is in the drawers at every chair is not lacking, what no pouch holds is not asked."""
    scans = _scans(tmp_path)
    answers = {**_NEW, ("minutes", "pano-scan"): "20", ("needs", "pano-scan"): _NEEDS, ("set", "pano-scan"): "exam"}
    first = import_lists([scans], ours, answers=answers)
    (doubt,) = first.found.doubts
    assert doubt.about == ("add-ons", "pano-scan") and doubt.suggested == "strips 8%, detailing"
    said = sayer("en")(doubt.asked)
    assert "uses what its set lacks: Interproximal strip holder and Howe plier." in said
    assert doubt.refuses("strips") is None and doubt.refuses("Detailing pouch 12%") is None
    assert doubt.refuses("core") and doubt.refuses("strips often")
    with pytest.raises(PracticeError):
        read_practice(ours)
    import_lists([scans], ours, answers={doubt.about: doubt.suggested})
    assert read_practice(ours).procedures["pano-scan"].add_ons == {"strips": 0.08, "detailing": 1.0}
    assert import_lists([scans], ours).found.doubts == ()


def test_who_wants_no_add_on_is_not_asked_again(ours: Path, tmp_path: Path) -> None:
    answers = {**_NEW, ("minutes", "pano-scan"): "20", ("needs", "pano-scan"): _NEEDS, ("set", "pano-scan"): "exam"}
    import_lists([_scans(tmp_path)], ours, answers={**answers, ("add-ons", "pano-scan"): "-"})
    again = import_lists([_scans(tmp_path)], ours)
    assert again.found.doubts == () and "add_ons" not in again.known.of("procedures")["pano-scan"]


def test_what_a_list_of_procedures_says_of_needs_is_taken_and_what_is_not_understood_is_suggested(
    tmp_path: Path,
) -> None:
    (tmp_path / "inventory.csv").write_text("Instrument\nmouth mirror\nexplorer\nhowe plier\n", "utf-8")
    rows = (
        'Procedure,Minutes,Instruments\nWire change,30,"2 mirrors, howe 60%"\nCheck,15,"mirror, blue thing, explorer"\n'
    )
    (tmp_path / "procedures.csv").write_text(rows, "utf-8")
    files = [tmp_path / "inventory.csv", tmp_path / "procedures.csv"]
    found = bring(files, known_of(tmp_path / "new", {})).found
    needs = {record.id: record.fields.get("needs") for record in found.records if record.stem == "procedures"}
    assert needs == {"wire-change": {"mouth-mirror": 2, "howe-plier": "60%"}, "check": None}
    told = [sayer("en")(each) for each in found.told]
    assert told == ["A visit “Wire change” uses, as the list says: mouth-mirror 2, howe-plier 60%"]
    (doubt,) = (doubt for doubt in found.doubts if doubt.about == ("needs", "check"))
    assert doubt.suggested == "mirror, explorer" and doubt.refuses(doubt.suggested) is None
    assert sayer("en")(doubt.why) == "the list says: mirror, blue thing, explorer"


def test_needs_of_the_folder_stay_and_the_cell_is_told(ours: Path, tmp_path: Path) -> None:
    (tmp_path / "procedures.csv").write_text("Procedure,Minutes,Instruments\nArchwire change,30,mirror\n", "utf-8")
    found = bring([tmp_path / "procedures.csv"], known_of(ours, {})).found
    assert not any("needs" in record.fields for record in found.records)


@pytest.mark.parametrize(
    ("rows", "kind"),
    [
        ("Instrument\nmouth mirror\nexplorer\n", "instruments"),
        ("Chair\n1\n2\n", "chairs"),
        ("Our chairs\nChair\nChair 1\nChair 2\n", "chairs"),
        ("Sillón\nSillón 1\nSillón 2\n", "chairs"),
    ],
)
def test_a_list_of_one_column_is_recognised_by_its_heading(tmp_path: Path, rows: str, kind: str) -> None:
    (tmp_path / "list.csv").write_text(rows, "utf-8")
    brought = bring([tmp_path / "list.csv"], known_of(tmp_path / "new", {}))
    assert [record.stem for record in brought.found.records] == [kind, kind]


@pytest.mark.parametrize("rows", ["Name\nAna Quill\nBo Tern\nCy Pell\n", "Patient\nAna Quill\nBo Tern\n"])
def test_a_column_of_people_is_no_list_of_anything(tmp_path: Path, rows: str) -> None:
    (tmp_path / "list.csv").write_text(rows, "utf-8")
    assert bring([tmp_path / "list.csv"], known_of(tmp_path / "new", {})).found.records == ()


def test_the_minutes_of_visits_too_few_to_state_them_are_suggested(tmp_path: Path) -> None:
    days = (2, 3, 4, 5, 9, 10, 11, 12, 16, 17)
    rows = ["Date,Time,Mins,Chair,Type", *(f"2026-03-{day:02d},9:00,30,Chair 1,SCAN" for day in days)]
    rows += [f"2026-03-{day:02d},10:00,{minutes},Chair 1,loose brkt" for day, minutes in ((2, 15), (4, 15), (9, 20))]
    (tmp_path / "book.csv").write_text("\n".join(rows), "utf-8")
    answers: dict[About, str] = {("types", "scan"): "new", ("types", "loose brkt"): "new"}
    found = bring([tmp_path / "book.csv"], known_of(tmp_path / "new", answers)).found
    minutes = {record.id: record.fields.get("minutes") for record in found.records if record.stem == "procedures"}
    assert minutes == {"scan": "30 min", "loose-brkt": None}
    (doubt,) = (doubt for doubt in found.doubts if doubt.about[0] == "minutes")
    assert (doubt.about[1], doubt.suggested) == ("loose-brkt", "15") and doubt.refuses("15") is None
