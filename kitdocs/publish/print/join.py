"""Parts of a document, each laid out by itself, as the one document that they are.

A reader gets what one document has: pages and their labels, bookmarks, links from part to part, named destinations,
and the tags (ISO 32000-1, 14.7; ISO 14289-1), whose keys and ids are told apart. Typst knows no label of another part,
so a link to a card is set as the address ``card:`` and its id; here it gets the card's destination.
"""

from __future__ import annotations

import base64
import hashlib
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import pikepdf
from pikepdf import Array, Dictionary, Name, OutlineItem, String

from kitdocs.errors import PublishError
from kitdocs.publish.print.finished import DESTINATION
from kitdocs.publish.print.paper_use import ONE_SIDED, PaperUse
from kitdocs.publish.print.print_hints import saved, say_paper_use

_HEADING = re.compile(r"/H([1-5])")
_PAGES = re.compile(rb"(?<=<xmpTPg:NPages>)\d+")
_INSTANCE = re.compile(rb"(?<=<xmpMM:InstanceID>)[^<]+")

#: Names that are asked of each of some thousand objects.
_TYPE, _ELEMENT, _ID, _ATTRIBUTES, _HEADERS = Name.Type, Name.StructElem, Name.ID, Name.A, Name.Headers
_KEYS = (Name.StructParent, Name.StructParents)

#: What a part's catalog tells of its pages.
_TOLD = ("/StructTreeRoot", "/Names", "/Outlines")

#: A PDF object of whatever type: pikepdf's stubs do not know what a dictionary of ours holds.
_Pdf: TypeAlias = Any


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentPart:
    """Some pages. `lowered`: they go on with the section of the part before, and their headings stand a level lower."""

    pdf: bytes
    lowered: bool = False


def joined(
    parts: Sequence[DocumentPart],
    titles: Mapping[str, str],
    labels: Sequence[str] | None = None,
    use: PaperUse = ONE_SIDED,
) -> bytes:
    """Return the document of all parts, whose sheets have one use. The first part says title and language, and is not
    lowered.

    `titles` are those of the cards, by id, to which a link may lead. Without `labels`, one for each page, pages are
    called by their number. Raises `PublishError` when a link leads elsewhere, two parts hold the same place, or there
    are more or fewer labels than pages.
    """
    with pikepdf.open(io.BytesIO(parts[0].pdf)) as pdf:
        document = _Document(pdf)
        for part in parts[1:]:
            document.add(part)
        document.link(titles)
        if labels is not None:
            document.label(labels)
        say_paper_use(pdf, use)
        return document.written(hashlib.sha256(b"".join(part.pdf for part in parts)).digest())


class _Document:
    """A document to which parts are added. What it has of each kind is gathered, and put in place at the end."""

    def __init__(self, first: pikepdf.Pdf) -> None:
        self._pdf = first
        self._tags: _Pdf = first.Root.StructTreeRoot
        (self._root,) = self._tags.K
        self._elements = list(self._root.K)
        self._owners = list(self._tags.ParentTree.Nums)
        self._next_key = int(self._tags.ParentTreeNextKey)
        self._ids = dict(_pairs(self._tags.get(Name.IDTree)))
        self._places = dict(_pairs(first.Root.get(Name.Names, Dictionary()).get(Name.Dests)))
        self._bookmarks = list(_bookmarks(first.Root.get(Name.Outlines)))
        self._parts = 1

    def add(self, part: DocumentPart) -> None:
        """Put the pages of a part behind those that are there."""
        with pikepdf.open(io.BytesIO(part.pdf)) as own:
            _tell_apart(own, self._next_key, f"P{self._parts}", lowered=part.lowered)
            self._pdf.pages.extend(own.pages)
            # What leads to a page of the part leads to its copy, now that there is one.
            told = {name: own.Root[name] for name in _TOLD if name in own.Root}
            copied: _Pdf = self._pdf.copy_foreign(own.make_indirect(Dictionary(told)))
        tags = copied.StructTreeRoot
        (root,) = tags.K
        for element in root.K:
            element.P = self._root
            self._elements.append(element)
        self._owners.extend(tags.ParentTree.Nums)
        self._next_key += int(tags.ParentTreeNextKey)
        self._ids |= _pairs(tags.get(Name.IDTree))
        places = dict(_pairs(copied.get(Name.Names, Dictionary()).get(Name.Dests)))
        if twice := self._places.keys() & places:
            raise PublishError(f"two parts of a document hold {', '.join(sorted(twice))}")
        self._places |= places
        for role, standard in tags.get(Name.RoleMap, Dictionary()).items():
            self._tags.RoleMap[role] = standard
        bookmarks = list(_bookmarks(copied.get(Name.Outlines)))
        if part.lowered:
            section = self._bookmarks[-1]
            section.children.extend(bookmarks)
            section.is_closed = bool(section.children)
        else:
            self._bookmarks += bookmarks
        self._parts += 1

    def link(self, titles: Mapping[str, str]) -> None:
        """Give each link to a card its destination, and say where it leads (ISO 14289-1, 7.18.5)."""
        for page in self._pdf.pages:
            for link in page.obj.get(Name.Annots, ()):
                address = str(link.get(Name.A, Dictionary()).get(Name.URI, ""))
                if not address.startswith(DESTINATION):
                    continue
                card = address.removeprefix(DESTINATION)
                if card not in titles or address not in self._places:
                    raise PublishError(f"a link leads to '{card}', which is no card of the document")
                del link[Name.A]
                link.Dest = self._places[address]
                link.Contents = String(titles[card])

    def label(self, labels: Sequence[str]) -> None:
        """Give each page its label (ISO 32000-1, 12.4.2)."""
        pages = len(self._pdf.pages)
        if pages != len(labels):
            raise PublishError(f"{pages} pages of the PDF have {len(labels)} labels")
        named = (part for page, label in enumerate(labels) for part in (page, Dictionary(P=String(label))))
        self._pdf.Root.PageLabels = Dictionary(Nums=Array(named))

    def written(self, digest: bytes) -> bytes:
        """Return the document. The same parts give the same bytes; `digest` tells it from others."""
        root: _Pdf = self._pdf.Root
        self._root.K = Array(self._elements)
        self._tags.ParentTree = Dictionary(Nums=Array(self._owners))
        self._tags.ParentTreeNextKey = self._next_key
        if self._ids:
            self._tags.IDTree = _name_tree(self._ids)
        if self._places:
            root.Names = Dictionary(Dests=_name_tree(self._places))
        with self._pdf.open_outline() as outline:
            outline.root[:] = self._bookmarks
        said = _PAGES.sub(b"%d" % len(self._pdf.pages), root.Metadata.read_bytes())
        root.Metadata.write(_INSTANCE.sub(base64.b64encode(digest[:16]), said))
        return saved(self._pdf)


def _tell_apart(pdf: pikepdf.Pdf, first_key: int, prefix: str, *, lowered: bool) -> None:
    """Give a part keys and ids of tags that no part before it has."""
    for thing in pdf.objects:
        own: _Pdf = thing
        if not isinstance(own, Dictionary | pikepdf.Stream):
            continue
        if own.get(_TYPE) == _ELEMENT:
            _tell_element_apart(own, prefix, lowered=lowered)
            continue
        for key in _KEYS:
            if key in own:
                own[key] = int(own[key]) + first_key
    tags: _Pdf = pdf.Root.StructTreeRoot
    owners = list(tags.ParentTree.Nums)
    owners[::2] = [int(key) + first_key for key in owners[::2]]
    tags.ParentTree.Nums = Array(owners)
    if Name.IDTree in tags:
        tags.IDTree = _name_tree({f"{prefix}{id_}": element for id_, element in _pairs(tags.IDTree)})


def _tell_element_apart(element: _Pdf, prefix: str, *, lowered: bool) -> None:
    if _ID in element:
        element.ID = String(f"{prefix}{element.ID}")
    for attributes in element.get(_ATTRIBUTES, ()):
        if _HEADERS in attributes:
            attributes.Headers = Array(String(f"{prefix}{id_}") for id_ in attributes.Headers)
    if lowered and (level := _HEADING.fullmatch(str(element.S))):
        element.S = Name(f"/H{int(level[1]) + 1}")


def _pairs(tree: _Pdf) -> Iterator[tuple[str, _Pdf]]:
    """Yield the entries of a name tree; none of a missing one."""
    if tree is not None:
        yield from pikepdf.NameTree(tree).items()


def _name_tree(entries: Mapping[str, _Pdf]) -> _Pdf:
    in_order = sorted(entries.items(), key=lambda entry: entry[0].encode())
    return Dictionary(Names=Array(part for name, value in in_order for part in (String(name), value)))


def _bookmarks(parent: _Pdf) -> Iterator[OutlineItem]:
    """Yield the bookmarks below another, or those of an outline, with what is below them; none of a missing one."""
    item = parent.get(Name.First) if parent else None
    while item is not None:
        bookmark = OutlineItem(str(item.Title), destination=item.Dest)
        bookmark.children.extend(_bookmarks(item))
        bookmark.is_closed = bool(bookmark.children)
        yield bookmark
        item = item.get(Name.Next)
