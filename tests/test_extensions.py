"""Another package adds a card, a rule, a figure, a drawing and a document, by its entry points alone."""

from __future__ import annotations

import configparser
import sys
from collections.abc import Iterator
from pathlib import Path

import pypdfium2 as pdfium
import pytest

from kitdocs.cache import key_of
from kitdocs.errors import KitdocsError
from kitdocs.extensions import KINDS, _points, extensions, installed
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.planning.plan import make_plan
from kitdocs.practice.reading.reader import read_practice
from kitdocs.publish.handbook_folder import paper_of, sheet
from kitdocs.publish.print.documents import DOCUMENTS, every_document
from kitdocs.report.build_report import make_report

EXAMPLE = Path(__file__).parent / "extension_example"


def install(place: Path, entry_points: str) -> None:
    """Write what an installer writes of a package: its name, its version, its entry points."""
    info = place / "house_extras-1.0.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: house-extras\nVersion: 1.0.0\n", "utf-8")
    (info / "entry_points.txt").write_text(entry_points, "utf-8")


def stated_entry_points() -> str:
    """Return the entry points of the example's pyproject.toml as an installer writes them."""
    stated = configparser.ConfigParser()
    stated.read(EXAMPLE / "pyproject.toml", "utf-8")
    groups = [name for name in stated.sections() if name.startswith("project.entry-points.")]
    lines = []
    for group in groups:
        lines.append(f"[{group.removeprefix('project.entry-points.').strip(chr(34))}]")
        lines += [f"{name} = {value.strip(chr(34))}" for name, value in stated[group].items()]
    return "\n".join(lines) + "\n"


def forget() -> None:
    """Let the packages be looked through anew."""
    _points.cache_clear()
    extensions.cache_clear()


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder in which packages are looked for; nothing of it is known afterwards."""
    (tmp_path / "packages").mkdir()
    monkeypatch.syspath_prepend(str(tmp_path / "packages"))
    monkeypatch.syspath_prepend(str(EXAMPLE))
    forget()
    yield tmp_path / "packages"
    forget()
    for name in [name for name in sys.modules if name.startswith("house_extras")]:
        del sys.modules[name]


@pytest.fixture
def added(place: Path) -> None:
    install(place, stated_entry_points())


def test_without_another_package_nothing_is_added() -> None:
    assert [extensions(kind) for kind in KINDS] == [()] * len(KINDS)
    assert every_document() == DOCUMENTS


def test_the_example_adds_one_of_each_kind(added: None) -> None:
    assert all(len(extensions(kind)) == 1 for kind in KINDS)


def test_a_card_quotes_a_figure_and_a_drawing_takes_the_place_of_ours(added: None, started: Path) -> None:
    practice = read_practice(started)
    plan = make_plan(practice, days=20)
    handbook = make_handbook(practice, plan)
    card = handbook.card("own/closing")
    assert card.edition
    assert "Look into all 2 drawers." in str(card.front)
    assert 'cx="9"' in practice.drawings["mirror"].svg
    assert [figure.value for figure in plan.figures if figure.section == "own"] == [2]
    reasons = make_report(practice, plan).card("plan/reasons")
    assert "Other figures" in str(reasons.front)
    assert "Drawers to look into" in str(reasons.front)


def test_a_rule_warns_in_its_own_words_at_the_line_and_can_be_accepted(added: None, started: Path) -> None:
    (problem,) = read_practice(started).problems
    assert str(problem).startswith("sets.yaml:")
    assert "6 pieces are more than our trays hold (5)" in str(problem)
    settings = started / "practice.yaml"
    accepted = "\naccepted:\n  - {warning: large-sets, at: sets.adjustment.contents, reason: Our trays are deep.}\n"
    settings.write_text(settings.read_text("utf-8") + accepted, "utf-8")
    (problem,) = read_practice(started).problems
    assert str(problem.accepted) == "Our trays are deep."


def test_a_drawing_of_the_folder_comes_before_one_of_a_package(added: None, started: Path) -> None:
    (started / "drawings").mkdir()
    own = (EXAMPLE / "house_extras" / "mirror.svg").read_text("utf-8").replace('r="6"', 'r="5"')
    (started / "drawings" / "mirror.svg").write_text(own, "utf-8")
    assert 'r="5"' in read_practice(started).drawings["mirror"].svg


@pytest.mark.whole
def test_a_document_is_a_pdf_beside_the_others_and_the_card_is_printed_from_it(added: None, started: Path) -> None:
    practice = read_practice(started)
    handbook = make_handbook(practice, make_plan(practice, days=20))
    copy = paper_of(handbook, handbook.card("own/closing"))
    assert copy
    assert copy.path == "print/closing.pdf"
    pdf = sheet([handbook], copy.path)
    assert pdf
    assert "Lights out." in pdfium.PdfDocument(pdf)[0].get_textpage().get_text_bounded()


def test_what_is_kept_of_earlier_runs_depends_on_what_is_added(place: Path) -> None:
    from kitdocs.cache import _fingerprint  # noqa: PLC0415

    _fingerprint.cache_clear()
    before = key_of("plan")
    install(place, stated_entry_points())
    forget()
    _fingerprint.cache_clear()
    assert key_of("plan") != before
    assert ("kitdocs.rules", "large-sets", "house_extras.large_sets:large_sets", "1.0.0") in installed()
    (place / "house_extras-1.0.0.dist-info" / "entry_points.txt").unlink()
    _fingerprint.cache_clear()


def test_a_package_that_cannot_be_loaded_is_named(place: Path, started: Path) -> None:
    install(place, "[kitdocs.rules]\nlarge-sets = house_extras.gone:large_sets\n")
    with pytest.raises(
        KitdocsError, match=r"'house-extras' adds 'large-sets' to kitdocs.rules, but it cannot be loaded"
    ):
        read_practice(started)


def test_a_card_that_would_take_the_id_of_another_is_refused(place: Path, started: Path) -> None:
    renamed = stated_entry_points().replace("[kitdocs.cards]\nclosing", "[kitdocs.cards]\nother")
    install(place, renamed)
    practice = read_practice(started)
    with pytest.raises(KitdocsError, match="has to be 'own/other'"):
        make_handbook(practice, make_plan(practice, days=20))


def test_a_figure_whose_id_is_not_its_packages_is_refused(place: Path, started: Path) -> None:
    install(place, "[kitdocs.figures]\nother = house_extras.closing:closing_figures\n")
    with pytest.raises(KitdocsError, match=r"has to begin with 'other\.'"):
        make_plan(read_practice(started), days=20)
