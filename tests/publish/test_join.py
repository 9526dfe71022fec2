"""A document of parts is one document: tags (ISO 32000-1, 14.7), links, bookmarks, labels, the same bytes each time."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pikepdf
import pytest
from pdf_pages import page_texts, pixels
from sample_handbook import sample_handbook, sample_pdf

from kitdocs.document.card import Handbook
from kitdocs.errors import PublishError
from kitdocs.publish.print import parts as parts_module
from kitdocs.publish.print.binder import begins as sheet_begins
from kitdocs.publish.print.binder import binder, binder_leaves, binder_sheets
from kitdocs.publish.print.data import well_set
from kitdocs.publish.print.documents import FORMS, MOVE, POUCH_LISTS, REFILL_CARDS, SET_TEMPLATES, Document
from kitdocs.publish.print.finished import page_count
from kitdocs.publish.print.join import DocumentPart, joined
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

Pdf = Any


@pytest.fixture(scope="module", params=[0, 1], ids=["en", "es"])
def handbook(request: pytest.FixtureRequest, example_handbooks: tuple[Handbook, ...]) -> Handbook:
    return example_handbooks[request.param]


@pytest.fixture(scope="module")
def example_binder(handbook: Handbook) -> Iterator[Pdf]:
    with pikepdf.open(io.BytesIO(binder(Rendering(handbook)))) as pdf:
        yield pdf


def elements(pdf: Pdf) -> list[Pdf]:
    """Every element of the tags, in the order in which it is read."""
    found, rest = [], [pdf.Root.StructTreeRoot.K]
    while rest:
        thing = rest.pop()
        if isinstance(thing, pikepdf.Array):
            rest += reversed(list(thing))
        elif isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/StructElem":
            found.append(thing)
            rest.append(thing.get("/K"))
    return found


def tree(of: Pdf, name: str) -> dict[Any, Pdf]:
    flat = list(of.get(name, ()))
    keys = [key if isinstance(key, int) else str(key) for key in flat[::2]]
    assert keys == sorted(keys)
    assert len(set(keys)) == len(keys)
    return dict(zip(keys, flat[1::2], strict=True))


def pieces(element: Pdf) -> list[tuple[int, Any]]:
    """The pieces of content of an element, each with its page: its own page, unless a piece names another."""
    return [
        (int(piece.MCID), piece.Pg.objgen) if isinstance(piece, pikepdf.Dictionary) else (int(piece), element.Pg.objgen)
        for piece in element.K
        if not isinstance(piece, pikepdf.Dictionary) or "/MCID" in piece
    ]


def test_what_stands_on_each_page_belongs_to_a_tag_on_that_page(example_binder: Pdf) -> None:
    """ISO 32000-1, 14.7.4.4: the entry of a page's key has the element of each piece of its content."""
    owners = tree(example_binder.Root.StructTreeRoot.ParentTree, "/Nums")
    tagged = [page for page in example_binder.pages if "/StructParents" in page.obj]  # a back may have a foot only
    keys = [int(page.obj.StructParents) for page in tagged]
    assert len(set(keys)) == len(tagged) > 80
    for page, key in zip(tagged, keys, strict=True):
        for number, owner in enumerate(owners[key]):
            assert (number, page.objgen) in pieces(owner)
    assert int(example_binder.Root.StructTreeRoot.ParentTreeNextKey) == max(owners) + 1


def test_each_link_belongs_to_a_tag_of_its_own_and_leads_to_the_card_it_names(
    example_binder: Pdf, handbook: Handbook
) -> None:
    owners = tree(example_binder.Root.StructTreeRoot.ParentTree, "/Nums")
    number = {page.objgen: at for at, page in enumerate(example_binder.pages)}
    begins = {str(page.label): at for at, page in enumerate(example_binder.pages)}
    bound = binder_leaves(Rendering(handbook)).bound
    first_page = {handbook.card(card).title: begins[sheet_begins(handbook, own)] for card, own in bound.items()}
    links = [link for page in example_binder.pages for link in page.get("/Annots", ())]
    for link in links:
        owner = owners[int(link.StructParent)]
        assert owner.S == "/Link"
        assert any(piece.Obj.objgen == link.objgen for piece in owner.K if isinstance(piece, pikepdf.Dictionary))
        assert number[link.Dest[0].objgen] == first_page[str(link.Contents).replace("\N{NO-BREAK SPACE}", " ")]
    assert len(links) > 250
    assert len({int(link.StructParent) for link in links}) == len(links)


def test_ids_of_tags_are_unique_and_cells_name_heads_of_their_own_table(example_binder: Pdf) -> None:
    by_id = tree(example_binder.Root.StructTreeRoot.IDTree, "/Names")
    tags = elements(example_binder)
    assert sorted(str(tag.ID) for tag in tags if "/ID" in tag) == sorted(by_id)

    def table_of(tag: Pdf) -> Pdf:
        while tag.S != "/Table":
            tag = tag.P
        return tag.objgen

    named = 0
    for tag in tags:
        for attributes in tag.get("/A", ()):
            for id_ in attributes.get("/Headers", ()):
                assert by_id[str(id_)].S == "/TH"
                assert table_of(by_id[str(id_)]) == table_of(tag)
                named += 1
    assert named > 1000


def test_every_tag_is_below_the_one_document(example_binder: Pdf) -> None:
    (document,) = example_binder.Root.StructTreeRoot.K
    tags = elements(example_binder)
    assert [tag.S for tag in tags].count("/Document") == 1
    assert all(tag.P.objgen == document.objgen for tag in document.K)


def test_sections_and_cards_are_headings_of_one_and_two_levels(example_binder: Pdf, handbook: Handbook) -> None:
    tags = elements(example_binder)
    sections = [name for name, _ in binder_leaves(Rendering(handbook)).sections]
    on_the_back_of_the_cover = 1
    assert sum(tag.S == "/H2" for tag in tags) == on_the_back_of_the_cover + len(binder_sheets(handbook))
    assert [str(tag.T) for tag in tags if tag.S == "/H1"][-len(sections) :] == sections


def test_named_destinations_are_those_of_all_cards(example_binder: Pdf, handbook: Handbook) -> None:
    places = tree(example_binder.Root.Names.Dests, "/Names")
    assert set(places) == {f"card:{card}" for card in binder_sheets(handbook)}


def test_pages_are_the_same_however_many_cards_a_part_has(monkeypatch: pytest.MonkeyPatch) -> None:
    texts = page_texts(sample_pdf("binder"))
    for most in (1, 100):
        monkeypatch.setattr(parts_module, "CARDS_IN_PART", most)
        again = binder(Rendering(sample_handbook()))
        assert page_texts(again) == texts
        with pikepdf.open(io.BytesIO(again)) as pdf, pikepdf.open(io.BytesIO(sample_pdf("binder"))) as usual:
            assert [tag.S for tag in elements(pdf)] == [tag.S for tag in elements(usual)]
            assert f"<xmpTPg:NPages>{len(pdf.pages)}<".encode() in pdf.Root.Metadata.read_bytes()
            same = pdf.Root.Metadata.read_bytes() == usual.Root.Metadata.read_bytes()
            assert same == (again == sample_pdf("binder")), "another file is another instance"


def place_of(pdf: Pdf, destination: Pdf) -> tuple[int, list[float]]:
    """The page of a destination, counted from 0, and the point on it; a named one is looked up."""
    if isinstance(destination, pikepdf.String):
        destination = pikepdf.NameTree(pdf.Root.Names.Dests)[str(destination)]
    pages = [page.objgen for page in pdf.pages]
    return pages.index(destination[0].objgen), [round(float(number), 2) for number in list(destination)[2:]]


def bookmarks(pdf: Pdf, of: Pdf) -> list[Any]:
    found, item = [], of.get("/First")
    while item is not None:
        found.append((str(item.Title), place_of(pdf, item.Dest), int(item.get("/Count", 0)), bookmarks(pdf, item)))
        item = item.get("/Next")
    return found


def links(pdf: Pdf) -> list[Any]:
    """What each link of each page covers, where it leads, and what is said of it."""
    return [
        (
            number,
            [round(float(edge), 2) for edge in link.Rect],
            place_of(pdf, link.Dest) if "/Dest" in link else str(link.A.URI),
            str(link.get("/Contents", "")),
        )
        for number, page in enumerate(pdf.pages)
        for link in page.get("/Annots", ())
    ]


def read_aloud(pdf: Pdf) -> list[Any]:
    """The tags in their order: type, words, attributes, pieces with their page. A cell tells where its heads are."""
    tags = elements(pdf)
    pages = {page.objgen: number for number, page in enumerate(pdf.pages)}
    at = {str(tag.ID): number for number, tag in enumerate(tags) if "/ID" in tag}

    def attribute(name: str, value: Pdf) -> Any:
        return [at[str(id_)] for id_ in value] if name == "/Headers" else str(value)

    return [
        (
            str(tag.S),
            [str(tag.get(name, "")) for name in ("/T", "/Alt", "/ActualText", "/Lang", "/E")],
            [
                sorted((name, attribute(name, value)) for name, value in attributes.items())
                for attributes in tag.get("/A", ())
            ],
            [(number, pages[page]) for number, page in pieces(tag)] if "/K" in tag else [],
        )
        for tag in tags
    ]


def about(pdf: Pdf) -> list[str]:
    root = pdf.Root
    said = [root.Lang, root.MarkInfo.Marked, root.ViewerPreferences.DisplayDocTitle, root.StructTreeRoot.RoleMap]
    return [repr(thing) for thing in (*said, pdf.docinfo.as_dict())]


@pytest.mark.parametrize(
    "document",
    [REFILL_CARDS, POUCH_LISTS, SET_TEMPLATES, FORMS, MOVE],
    ids=lambda document: document.file.removesuffix(".pdf"),
)
def test_a_document_of_parts_is_the_document_in_one_piece(
    monkeypatch: pytest.MonkeyPatch, document: Document, handbook: Handbook
) -> None:
    """Pages, labels, bookmarks, places, links, tags. The reference is one part: what Typst wrote, but for its links."""
    made = []
    for most in (1000, 2):
        monkeypatch.setattr(parts_module, "CARDS_IN_PART", most)
        made.append(document.render(Rendering(handbook)))
    assert page_texts(made[0]) == page_texts(made[1])
    for number in range(0, page_count(made[0]), 5):
        assert (pixels(made[0], number, dpi=40) == pixels(made[1], number, dpi=40)).all()
    with pikepdf.open(io.BytesIO(made[0])) as whole, pikepdf.open(io.BytesIO(made[1])) as pdf:
        assert b"<xmpTPg:NPages>%d<" % len(pdf.pages) in pdf.Root.Metadata.read_bytes()
        assert not pdf.check_pdf_syntax()
        assert about(pdf) == about(whole)
        assert set(pdf.Root.keys()) == set(whole.Root.keys())
        assert set(pdf.Root.StructTreeRoot.keys()) == set(whole.Root.StructTreeRoot.keys())
        assert [page.label for page in pdf.pages] == [page.label for page in whole.pages]
        if document is not REFILL_CARDS:  # sheets with a front and a back
            assert [page.label for page in pdf.pages] == [str(number) for number in range(1, len(pdf.pages) + 1)]
        assert bookmarks(pdf, pdf.Root.Outlines) == bookmarks(whole, whole.Root.Outlines)
        places = [
            {name: place_of(each, place) for name, place in pikepdf.NameTree(each.Root.Names.Dests).items()}
            for each in (pdf, whole)
        ]
        assert places[0] == places[1]
        assert len(places[0]) == sum(document.holds(card) for card in handbook.cards)
        assert links(pdf) == links(whole)
        titles = {well_set(card.title) for card in handbook.cards}
        assert {said for *_, said in links(pdf)} <= titles
        assert read_aloud(pdf) == read_aloud(whole)


def test_a_place_that_two_parts_hold_is_refused() -> None:
    part = DocumentPart(pdf=sample_pdf("pouch_lists"))
    with pytest.raises(PublishError, match="two parts of a document hold card:drawer/teal"):
        joined([part, part], {})


def test_same_parts_give_the_same_bytes() -> None:
    pdfs = [make.render(Rendering(sample_handbook())) for make in (POUCH_LISTS, SET_TEMPLATES)]
    parts = [DocumentPart(pdf=pdfs[0]), DocumentPart(pdf=pdfs[1], lowered=True)]
    labels = [str(page) for page in range(sum(len(page_texts(pdf)) for pdf in pdfs))]
    assert joined(parts, {}, labels) == joined(parts, {}, labels)
    with pikepdf.open(io.BytesIO(joined(parts, {}, labels))) as pdf:
        assert not pdf.check_pdf_syntax()
    with pytest.raises(PublishError, match="labels"):
        joined(parts, {}, labels[1:])


def test_link_that_leads_nowhere_is_refused() -> None:
    pdf = sample_pdf("pouch_lists")
    with pikepdf.open(io.BytesIO(pdf)) as spoiled:
        spoiled.pages[0].obj.Annots = pikepdf.Array(
            [spoiled.make_indirect(pikepdf.Dictionary(A=pikepdf.Dictionary(URI=pikepdf.String("card:nowhere"))))]
        )
        file = io.BytesIO()
        spoiled.save(file)
    labels = [str(page) for page in range(len(page_texts(pdf)))]
    with pytest.raises(PublishError, match="'nowhere', which is no card"):
        joined([DocumentPart(pdf=file.getvalue())], {"nowhere": "Nowhere"}, labels)
