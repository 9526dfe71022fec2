"""What hung before, and the page that stands where the page of a printed card was."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
import sample_site

from kitdocs.document.history import EarlierEdition, WithdrawnCard
from kitdocs.practice.problems import PublishError
from kitdocs.publish.handbook_folder import paper_of
from kitdocs.publish.site.build_site import site
from kitdocs.publish.site.life import PAST_EDITIONS, printings, recorded_editions

ENGLISH, SPANISH = sample_site.handbooks_with_a_past()


def earlier(edition: str, printed: str) -> EarlierEdition:
    return EarlierEdition(edition=edition, printed=printed, changes=(f"since {printed}",))


def test_each_card_leads_to_the_list_of_current_cards_in_its_language() -> None:
    files = site((ENGLISH, SPANISH))
    for book, path, audit in ((ENGLISH, "r/teal", "../current.html"), (SPANISH, "es/r/teal", "../../es/current.html")):
        assert book.card("current").kind == "current-cards" != book.cards[0].kind
        assert f'data-audit="{audit}"' in files[f"{path}.html"].decode()


def test_a_past_edition_says_when_it_was_printed_and_what_differs_in_the_words_of_the_page() -> None:
    (english,) = printings(ENGLISH, ENGLISH.card("r/teal"), (ENGLISH, SPANISH))
    assert (english.editions, english.printed) == (("LD222", "LD333"), "March 3, 2026")
    assert english.changes == ("Wire-shaping pouch: 1 → 2", "Spare pouch added")
    (spanish,) = printings(SPANISH, SPANISH.card("r/teal"), (ENGLISH, SPANISH))
    # Unicode CLDR, Spanish, the long date.
    assert (spanish.editions, spanish.printed) == (("LD333", "LD222"), "3 de marzo de 2026")


def test_an_edition_that_is_current_again_is_not_past() -> None:
    card = ENGLISH.card("r/teal")
    book = replace(ENGLISH, earlier={"r/teal": (earlier(card.edition, "2026-02-01"), earlier("LD444", "2026-01-01"))})
    assert [past.editions for past in printings(book, card, (book,))] == [("LD444",)]


def test_only_the_last_printings_are_told() -> None:
    hung = tuple(earlier(f"LD{number}22", f"2026-0{9 - number}-01") for number in range(2, 9))
    book = replace(ENGLISH, earlier={"r/teal": hung})
    told = [past.editions for past in printings(book, book.card("r/teal"), (book,))]
    assert told == [(past.edition,) for past in hung[:PAST_EDITIONS]]


def test_what_is_different_stands_beside_the_page_and_the_page_names_the_editions_only() -> None:
    files = site((ENGLISH, SPANISH))
    page, beside = files["r/teal.html"].decode(), files["r/teal.earlier.html"].decode()
    assert 'id="LD222"' in page and 'id="LD333"' in page and "Spare pouch added" not in page
    assert 'href="../r/teal.earlier.html" data-earlier' in page
    assert "Spare pouch added" in beside and "Printed March 3, 2026" in beside
    assert 'href="../es/r/teal.earlier.html"' in beside
    assert "Se añadió la bolsa de repuesto" in files["es/r/teal.earlier.html"].decode()
    assert b"r/teal.earlier.html" in files["sw.js"], "it is there offline, too"
    assert "r/orange.earlier.html" not in files and b"data-earlier" not in files["r/orange.html"]


def test_who_reads_what_is_different_finds_the_first_page_where_a_language_was_never_printed() -> None:
    never = replace(SPANISH, earlier={})
    beside = site((ENGLISH, never))["r/teal.earlier.html"].decode()
    assert 'href="../es/index.html" lang="es"' in beside


def test_a_card_that_is_gone_has_a_page_where_its_page_was_in_every_language() -> None:
    files = site((ENGLISH, SPANISH))
    english, spanish = files["r/plum.html"].decode(), files["es/r/plum.html"].decode()
    assert "This card is no longer in the handbook. Take it down." in english
    assert "On the wall above the drawers" in english and "GN222" in english
    assert 'href="../es/r/plum.html"' in english and 'href="../../r/plum.html"' in spanish
    assert "Retírela." in spanish and "En la pared" in spanish
    assert b"r/plum.html" in files["sw.js"], "it is there offline, too"
    assert b"r/plum" not in files["editions.json"], "else it would be judged as a card"


def test_an_address_that_the_handbook_has_again_is_the_cards_own() -> None:
    again = replace(
        ENGLISH, withdrawn=(WithdrawnCard(id="r/Teal", title="Old"), WithdrawnCard(id="r/plum", title="Plum"))
    )
    files = site((again, SPANISH))
    assert b"Wire-shaping pouch" in files["r/teal.html"]
    assert "r/Teal.html" not in files and "r/plum.html" in files


@pytest.mark.parametrize("address", ["../outside", "/etc/x", "r\\plum", ""])
def test_a_withdrawn_card_cannot_leave_the_site(address: str) -> None:
    with pytest.raises(PublishError, match="has no address on the site"):
        site((replace(ENGLISH, withdrawn=(WithdrawnCard(id=address, title="Old"),)), SPANISH))


def test_every_recorded_edition_stands_on_the_page_and_only_the_last_have_their_changes() -> None:
    hung = tuple(earlier(f"LD{number}22", f"2026-0{9 - number}-01") for number in range(2, 9))
    english = replace(ENGLISH, earlier={"r/teal": hung})
    page = site((english, SPANISH))["r/teal.html"].decode()
    parts = re.findall(r'<p class="scanned">(.*?)</p>', page, re.DOTALL)
    editions = [re.findall('<i id="([^"]+)">', part) for part in parts]
    told, older = [past.edition for past in hung[:PAST_EDITIONS]], [past.edition for past in hung[PAST_EDITIONS:]]
    assert editions[1:] == [told, [*older, "LD333"]]
    assert "data-earlier" in parts[1] and "data-earlier" not in parts[2]
    assert recorded_editions(SPANISH, SPANISH.card("r/teal"), (english, SPANISH)) == ("LD333", *told, *older)


def test_a_withdrawn_card_is_known_by_its_editions_in_every_language() -> None:
    files = site((ENGLISH, SPANISH))
    assert 'data-editions="GN222 GN333"' in files["r/plum.html"].decode()
    assert 'data-editions="GN333 GN222"' in files["es/r/plum.html"].decode()


def test_a_page_leads_to_the_pdf_that_one_prints_its_card_from() -> None:
    files = site((ENGLISH, SPANISH), paper=paper_of)
    assert 'href="../print/refill-cards.pdf" data-pdf>Open refill-cards.pdf<' in files["r/teal.html"].decode()
    assert 'href="../../print/es/pouch-lists.pdf" data-pdf' in files["es/drawer/teal.html"].decode()
    assert 'href="print/binder.pdf" data-pdf' in files["map.html"].decode()


def test_a_site_without_pdfs_leads_to_none() -> None:
    page = site((ENGLISH, SPANISH))["r/teal.html"].decode()
    assert " data-pdf>" not in page
    assert "print this page from the browser" in page


def test_two_editions_of_one_day_are_told_apart_and_no_edition_twice() -> None:
    card = ENGLISH.card("r/teal")
    morning, evening = earlier("LD333", "2026-03-03"), earlier("LD222", "2026-03-03")
    book = replace(ENGLISH, earlier={"r/teal": (evening, morning)})
    assert [past.editions for past in printings(book, card, (book,))] == [("LD222",), ("LD333",)]
    english = replace(ENGLISH, earlier={"r/teal": (earlier("LD222", "2026-03-03"), earlier("LD333", "2026-02-02"))})
    spanish = replace(SPANISH, earlier={"r/teal": (earlier("LD999", "2026-03-03"), earlier("LD999", "2026-02-02"))})
    told = printings(english, card, (english, spanish))
    assert [past.editions for past in told] == [("LD222", "LD999"), ("LD333",)]
