"""The site as files: it opens from anywhere, says only what the handbook says, and is the same every time."""

from __future__ import annotations

import base64
import hashlib
import itertools
import json
import posixpath
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from html.parser import HTMLParser
from urllib.parse import unquote, urlsplit

import pytest
import sample_site

from kitdocs.document.blocks import Heading, Item, Items, Paragraph, Picture, Prose, Span
from kitdocs.document.card import Handbook
from kitdocs.practice.problems import PublishError
from kitdocs.publish.site.build_site import site
from kitdocs.publish.site.frame import names_cards, picture_file
from kitdocs.publish.site.home import home_page

HANDBOOKS = sample_site.handbooks()


class Page(HTMLParser):
    """What the tests ask of a page: its elements with their attributes, in order, and its text."""

    def __init__(self, content: bytes) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self._open: list[str] = []
        self.crossed: list[str] = []
        self.feed(content.decode())
        self.close()
        self.crossed += self._open

    VOID = frozenset({"base", "meta", "link", "img", "input", "br", "hr"})

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self._open or self._open.pop() != tag:
            self.crossed.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.elements if name == tag]


@pytest.fixture(scope="module")
def files() -> Mapping[str, bytes]:
    return site(HANDBOOKS)


@pytest.fixture(scope="module")
def pages(files: Mapping[str, bytes]) -> dict[str, Page]:
    return {path: Page(content) for path, content in files.items() if path.endswith(".html")}


def addresses_in(page: Page) -> Iterator[str]:
    for tag, attrs in page.elements:
        for name in ("href", "src"):
            if attrs.get(name) and tag != "base":
                yield str(attrs[name])


def test_every_card_of_every_language_has_a_page(files: Mapping[str, bytes]) -> None:
    expected = {"404.html"}
    for book in HANDBOOKS:
        ids = [*(card.id for card in book.cards), *(card.id for card in book.withdrawn)]
        ids += [f"{card_id}.earlier" for card_id in book.earlier]
        expected |= {f"{book.folder}{name}.html" for name in ("index", "search", "wall", *ids)}
    assert {path for path in files if path.endswith(".html")} == expected
    assert "es/r/teal.html" in files


def test_every_relative_address_leads_to_a_file_of_the_site(files: Mapping[str, bytes], pages: dict[str, Page]) -> None:
    seen = 0
    for path, page in pages.items():
        for address in addresses_in(page):
            parts = urlsplit(address)
            if parts.scheme or not parts.path:
                continue
            target = posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(parts.path)))
            assert not parts.path.startswith("/"), f"{path}: {address} is not relative"
            assert target in files, f"{path}: {address} leads nowhere"
            seen += 1
    assert seen > 500


def test_a_page_asks_for_nothing_from_anywhere_else(files: Mapping[str, bytes], pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        for tag, attrs in page.elements:
            for name in ("src", "srcset", "data", "action", "poster"):
                assert "//" not in (attrs.get(name) or ""), f"{path}: <{tag} {name}>"
            if tag == "link":
                assert "//" not in (attrs["href"] or ""), f"{path}: {attrs}"
    for path, content in files.items():
        if path.endswith((".css", ".js")):
            assert not re.search(r"https?://", content.decode()), path


def test_only_what_a_person_wrote_may_lead_off_the_site(pages: dict[str, Page]) -> None:
    off = {a["href"] for page in pages.values() for a in page.named("a") if "//" in (a.get("href") or "")}
    assert off == {"https://guidance.example/steam"}


def test_a_page_has_the_words_of_every_script_that_it_loads(files: Mapping[str, bytes], pages: dict[str, Page]) -> None:
    asked = 0
    for path, page in pages.items():
        loaded = [attrs["src"] or "" for attrs in page.named("script") if "src" in attrs]
        scripts = [files[posixpath.normpath(posixpath.join(posixpath.dirname(path), src))].decode() for src in loaded]
        said = [
            json.loads(found)
            for script in scripts
            for found in re.findall(r"\.\.\.self.KITDOCS_WORDS, \.\.\.({.*?}) }", script)
        ]
        words = {key for each in said for key in each}
        for script in scripts:
            for key in re.findall(r'\bsay\("([\w.]+)"', script):
                assert key in words, (path, key)
                asked += 1
    assert asked > 100


def test_rows_are_cards_when_all_lead_somewhere_and_none_is_counted() -> None:
    card, counted = Item(id="a", name="Chair 1", link="r/teal"), Item(id="b", name="Tie", link="r/pink", count=2)
    assert names_cards(Items(items=(card, card)))
    assert not names_cards(Items(items=(card, counted)))
    assert not names_cards(Items(items=(card, replace(card, link=""))))
    assert not names_cards(Items(items=(card,), ticks=True))


def test_an_address_that_runs_a_script_stays_plain_text(pages: dict[str, Page]) -> None:
    page = pages["page/house-rules.html"]
    assert "not a link" in page.text
    assert not any((address or "").startswith("javascript:") for address in addresses_in(page))


def test_every_page_has_one_first_heading_and_none_is_skipped(pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        levels = [int(tag[1]) for tag, _ in page.elements if re.fullmatch("h[1-6]", tag)]
        assert levels.count(1) == 1, path
        assert levels[0] == 1, path
        assert all(after - before <= 1 for before, after in itertools.pairwise(levels)), (path, levels)


def test_tags_close_where_they_opened(pages: dict[str, Page]) -> None:
    assert {path: page.crossed for path, page in pages.items() if page.crossed} == {}


def test_no_page_has_an_id_twice(pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        ids = [attrs["id"] for _, attrs in page.elements if "id" in attrs]
        assert len(ids) == len(set(ids)), path


def test_a_page_says_its_language_and_leads_to_the_same_card_in_the_other(pages: dict[str, Page]) -> None:
    english, spanish = pages["r/teal.html"], pages["es/r/teal.html"]
    assert english.named("html")[0]["lang"] == "en"
    assert spanish.named("html")[0]["lang"] == "es"
    assert [a["href"] for a in english.named("a") if a.get("hreflang") == "es"] == ["../es/r/teal.html"]
    assert [a["href"] for a in spanish.named("a") if a.get("hreflang") == "en"] == ["../../r/teal.html"]


def test_no_page_mixes_languages(pages: dict[str, Page]) -> None:
    assert "Everything, A to Z" in pages["search.html"].text
    for path, page in pages.items():
        wrong = ("Skip to", "Edition", "Search") if path.startswith("es/") else ("Ir al", "Edición", "Buscar")
        assert not any(word in page.text for word in wrong), path


def test_a_card_that_another_language_lacks_leads_to_that_index() -> None:
    english, spanish = HANDBOOKS
    poorer = replace(spanish, cards=tuple(card for card in spanish.cards if card.id != "map"))
    page = Page(site((english, poorer))["map.html"])
    assert [a["href"] for a in page.named("a") if a.get("hreflang") == "es"] == ["es/index.html"]
    assert not any("data-language" in a for a in page.named("a")), "nobody is sent away from a card unasked"


def test_what_a_person_wrote_is_never_taken_for_markup(files: Mapping[str, bytes], pages: dict[str, Page]) -> None:
    content = files["r/teal.html"].decode()
    assert "Cutters &lt;b&gt;&amp; “more”" in content
    assert "<b>" not in content
    assert sample_site.AWKWARD in pages["r/teal.html"].text


def test_nothing_is_inline_but_what_the_policy_names(files: Mapping[str, bytes], pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        policy = next(m["content"] for m in page.named("meta") if m.get("http-equiv"))
        assert policy and policy.startswith("default-src 'none'") and "unsafe" not in policy
        (style,) = re.findall(r"<style>(.*?)</style>", files[path].decode(), re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
        assert f"style-src 'self' 'sha256-{digest}';" in policy, path
        scripts = re.findall(r"<script>(.*?)</script>", files[path].decode(), re.DOTALL)
        digests = [base64.b64encode(hashlib.sha256(script.encode()).digest()).decode() for script in scripts]
        assert "script-src 'self'" + "".join(f" 'sha256-{digest}'" for digest in digests) + ";" in policy, path
        judged = any("assets/verdict.js" in (attrs.get("src") or "") for attrs in page.named("script"))
        assert len(scripts) == judged, path  # the question for a verdict, and nothing else
        for tag, attrs in page.elements:
            assert not any(name == "style" or name.startswith("on") for name in attrs), f"{path}: <{tag} {attrs}>"


def test_a_scanned_page_waits_for_no_style_before_its_first_view(files: Mapping[str, bytes]) -> None:
    text = files["r/teal.html"].decode()
    before, _, after = text.partition("data-verdict>")
    assert '<link rel="stylesheet"' not in before
    below = re.findall(r'<link rel="stylesheet" href="([^"]+)"', after)
    assert len(below) == 2
    assert re.findall(r'<link rel="preload" as="style" href="([^"]+)"', before) == below
    for band in re.findall(r"\bc-(\w{6})-(\w{6})\b", text):
        assert ".c-{0}-{1} {{ --band: #{0}; --on-band: #{1}; }}".format(*band) in before


def test_a_page_stands_in_the_order_of_its_card(pages: dict[str, Page]) -> None:
    text = pages["r/teal.html"].text.split("Español")[1]
    order = [
        "teal",
        "Chair 1",
        "Edition K7Q2",
        "Wire-shaping pouch",
        "Wet, torn",
        "On the back",
        "How this pouch",
        "Next",
    ]
    assert [text.index(words) for words in order] == sorted(text.index(words) for words in order)


@pytest.mark.parametrize(("site_at", "top"), [("https://handbook.example/bay", "/bay/"), ("", "/")])
def test_where_there_is_no_page_the_way_back_is_right_at_any_depth(site_at: str, top: str) -> None:
    english, spanish = (replace(book, site=site_at) for book in HANDBOOKS)
    page = Page(site((english, spanish))["404.html"])
    assert [base["href"] for base in page.named("base")] == [top]
    assert {a["href"] for a in page.named("a")} == {"index.html", "search.html", "es/index.html"}
    assert "the site may be older than the card" in page.text


def test_the_first_page_has_the_first_day_then_the_chairs_and_every_card_once(pages: dict[str, Page]) -> None:
    page = pages["index.html"]
    linked = [a["href"] for a in page.named("a") if set((a.get("class") or "").split()) & {"start", "tile", "line"}]
    assert linked[:7] == ["first-day.html", *(f"r/{chair}.html" for chair in sample_site.CHAIRS)]
    assert sorted(filter(None, linked)) == sorted(
        f"{card.id}.html" for card in HANDBOOKS[0].cards if card.form != "page"
    )
    finders = [a["href"] for a in page.named("a") if a.get("class") == "finder"]
    assert finders == ["by-picture.html", "procedures.html"]
    unscripted = page.elements.index(("p", {"class": "find unscripted"}))
    assert page.elements[unscripted + 1] == ("a", {"class": "button", "href": "search.html"})


def test_the_same_handbook_gives_the_same_bytes(files: Mapping[str, bytes]) -> None:
    again = site(sample_site.handbooks())
    assert {path for path in files if files[path] != again.get(path)} == set()
    assert list(files) == list(again)


def test_the_worker_changes_with_the_content_and_only_with_it(files: Mapping[str, bytes]) -> None:
    english, spanish = HANDBOOKS
    first, *rest = english.cards
    other = site((replace(english, cards=(replace(first, title="Another title"), *rest)), spanish))
    assert files["sw.js"] == site(HANDBOOKS)["sw.js"]
    assert files["sw.js"] != other["sw.js"]


def test_the_worker_keeps_every_file_but_never_the_editions(files: Mapping[str, bytes]) -> None:
    kept = re.search(rb"const FILES = (\[.*\]);", files["sw.js"])
    assert kept
    assert set(json.loads(kept[1])) == set(files) - {"sw.js", "editions.json", "version.json", "404.html"}


def test_the_editions_are_those_of_the_cards(files: Mapping[str, bytes]) -> None:
    told = json.loads(files["editions.json"])
    assert told["languages"] == [book.language for book in HANDBOOKS]
    assert told["cards"] == {
        card.id: " ".join(book.card(card.id).edition for book in HANDBOOKS) for card in HANDBOOKS[0].kept
    }


def test_a_card_that_a_language_lacks_has_no_edition_in_it() -> None:
    english, spanish = HANDBOOKS
    poorer = replace(spanish, cards=tuple(card for card in spanish.cards if card.id != "map"))
    told = json.loads(site((english, poorer))["editions.json"])
    assert told["cards"]["map"] == f"{english.card('map').edition} -"


def test_a_picture_is_one_file_however_often_it_is_shown(files: Mapping[str, bytes]) -> None:
    scissors = sample_site.tip("scissors")
    assert files[f"assets/pictures/{scissors.name}.svg"] == scissors.data
    assert not any(path.startswith("assets/pictures/code-") for path in files), "the code is for paper"


def test_the_typeface_travels_with_its_licence(files: Mapping[str, bytes]) -> None:
    # A TrueType file begins with 00 01 00 00 (OpenType specification, "Organization of an OpenType font").
    assert files["assets/fonts/AtkinsonHyperlegible-Regular.woff2"].startswith(b"wOF2")
    assert b"SIL OPEN FONT LICENSE" in files["assets/fonts/LICENSE.txt"].upper()
    styles = files["assets/first.css"] + files["assets/plates.css"]
    named = set(re.findall(r'url\("(fonts/[^"]+)"\)', styles.decode()))
    assert named == {path.removeprefix("assets/") for path in files if path.endswith(".woff2")}


def test_two_pictures_of_one_name_are_refused() -> None:
    english, spanish = HANDBOOKS
    false = replace(sample_site.tip("scissors"), data=b"<svg/>")
    card = replace(english.cards[0], front=(Items(items=(Item(id="x", name="x", pictures=(false,)),)),))
    with pytest.raises(PublishError, match="two different pictures"):
        site((replace(english, cards=(card, *english.cards[1:])), spanish))


@pytest.mark.parametrize("name", ["../outside", "/etc/x", "a//b", "..", ""])
def test_a_picture_cannot_leave_its_folder(name: str) -> None:
    english, _ = HANDBOOKS
    picture = replace(sample_site.tip("scissors"), name=name)
    card = replace(english.cards[0], front=(Items(items=(Item(id="x", name="x", pictures=(picture,)),)),))
    with pytest.raises(PublishError, match="cannot be called"):
        site((replace(english, languages=("en",), cards=(card,)),))


def test_a_card_that_wants_a_taken_address_is_refused() -> None:
    english, _ = HANDBOOKS
    card = replace(english.cards[0], id="Index", front=())
    with pytest.raises(PublishError, match="want the address"):
        site((replace(english, languages=("en",), cards=(card,)),))


def test_a_link_to_a_card_that_is_not_there_is_refused() -> None:
    english, _ = HANDBOOKS
    prose = Prose(parts=(Paragraph(spans=(Span(text="there", href="#nowhere"),)),))
    card = replace(english.cards[0], front=(prose,))
    with pytest.raises(PublishError, match="'nowhere', which is not there"):
        site((replace(english, languages=("en",), cards=(card,)),))


def test_a_practice_without_a_site_still_shows_the_edition() -> None:
    english, _ = HANDBOOKS
    card = replace(english.card("r/teal"), front=(Heading(text="Nothing"),), back=(), next="")
    page = Page(site((replace(english, site="", languages=("en",), cards=(card,)),))["r/teal.html"])
    assert card.edition in page.text
    assert "Address" not in page.text


def test_a_drawing_is_an_svg_and_a_photo_a_jpg_under_its_own_name() -> None:
    picture = Picture(name="photo/mirror", data=b"", width_mm=1, height_mm=1)
    assert picture_file(picture) == "assets/pictures/photo/mirror.svg"
    assert picture_file(replace(picture, format="jpeg")) == "assets/pictures/photo/mirror.jpg"
    with pytest.raises(PublishError, match=r"^a picture cannot be called '\.\./mirror'$"):
        picture_file(replace(picture, name="../mirror"))


def test_sections_that_are_seldom_needed_are_folded_and_come_last(english: Handbook, spanish: Handbook) -> None:
    """The papers of the move, which are printed once, the logs, and what only the binder has."""
    sections = home_page(english, (english, spanish), "").sections
    assert [section.folded for section in sections] == sorted(section.folded for section in sections)
    folded = {section.name for section in sections if section.folded}
    assert english.card("move/plan").section in folded
    assert english.card("mishaps").section not in folded
