"""Codes are drawn by one library and read from the finished PDF by two others."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import zxingcpp
from pdf_pages import page_sizes_mm, pixels
from PIL import Image
from pyzbar import pyzbar
from sample_handbook import code_of, pouch_list_card, sample_handbook, sample_pdf

from kitdocs.document.blocks import Code
from kitdocs.drawings.codes import code
from kitdocs.practice.problems import PublishError
from kitdocs.publish.print.documents import POSTER, POUCH_LISTS, REFILL_CARDS, SET_TEMPLATES
from kitdocs.publish.print.readback import QR_CODE, check_codes, read_codes
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole


def payloads(cards) -> list[str]:
    return [block.encoded for card in cards for block in card.blocks if isinstance(block, Code)]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_both_decoders_read_every_code_of_the_binder_at_150_dpi(paper):
    handbook = sample_handbook(paper=paper)
    pdf = sample_pdf("binder", paper)
    read = read_codes(pdf)
    assert [found.text for found in read] == payloads(handbook.cards)
    for found in read:
        second = pyzbar.decode(Image.fromarray(pixels(pdf, found.page, dpi=150)), symbols=[pyzbar.ZBarSymbol.QRCODE])
        assert found.text in [symbol.data.decode() for symbol in second]


def test_both_decoders_read_every_code_of_the_wall_cards_and_they_are_of_level_q():
    handbook = sample_handbook()
    pdf = sample_pdf("refill_cards")
    read = read_codes(pdf)
    assert {found.text for found in read} == set(payloads(card for card in handbook.cards if card.form == "wall"))
    assert {found.ec_level for found in read} == {"Q"}
    for page in {found.page for found in read}:
        second = pyzbar.decode(Image.fromarray(pixels(pdf, page, dpi=150)), symbols=[pyzbar.ZBarSymbol.QRCODE])
        assert sorted(s.data.decode() for s in second) == sorted(f.text for f in read if f.page == page)


def code_boxes(pdf: bytes, dpi: int):
    """Each code of a PDF with the page's pixels and the corners of its symbol, as the decoder finds them."""
    for page in range(len(page_sizes_mm(pdf))):
        image = pixels(pdf, page, dpi=dpi)
        for found in zxingcpp.read_barcodes(Image.fromarray(image), formats=QR_CODE):
            at = found.position
            corners = (at.top_left, at.top_right, at.bottom_right, at.bottom_left)
            xs, ys = [corner.x for corner in corners], [corner.y for corner in corners]
            yield found.text, image, (min(xs), min(ys), max(xs), max(ys))


@pytest.mark.parametrize("dpi", [150, 300])
@pytest.mark.parametrize("document", [POSTER, SET_TEMPLATES, REFILL_CARDS], ids=lambda document: document.file)
def test_both_decoders_read_every_code_with_a_tenth_of_the_symbol_covered(example_handbooks, document, dpi):
    """Level Q of ISO/IEC 18004 restores about 25 % of the codewords: a tenth may be torn off or written over."""
    handbook = example_handbooks[0]
    pdf = document.render(Rendering(handbook))
    seen = []
    for text, image, (left, top, right, bottom) in code_boxes(pdf, dpi):
        quiet = round((right - left) * 0.16)
        own = image[max(0, top - quiet) : bottom + quiet, max(0, left - quiet) : right + quiet].copy()
        # A block at the lower right, away from the three finder patterns, a tenth of the symbol's area.
        side = round(((right - left) * (bottom - top) * 0.1) ** 0.5)
        x = own.shape[1] - quiet - round((right - left) * 0.12) - side
        y = own.shape[0] - quiet - round((bottom - top) * 0.42)
        own[y : y + side, x : x + side] = 255
        assert (own[y : y + side, x : x + side] == 255).all()
        covered = Image.fromarray(own)
        assert [found.text for found in zxingcpp.read_barcodes(covered)] == [text]
        # A phone sees a code in more pixels than a scan of 150 dpi has, and in another size each frame. zbar now and
        # then misses a covered code in one size and reads it in those beside it: three sizes of four are asked, and one
        # of the few pixels of 150 dpi, where a module of level H has 3.4: zbar read the store poster's in one.
        reads = []
        for size in (1.5, 2, 2.5, 3):
            large = covered.resize(
                (round(size * covered.width), round(size * covered.height)), Image.Resampling.BICUBIC
            )
            found = pyzbar.decode(large, symbols=[pyzbar.ZBarSymbol.QRCODE])
            reads.append([symbol.data.decode() for symbol in found] == [text])
        assert sum(reads) >= (3 if dpi == 300 else 1), (text, reads)
        seen.append(text)
    assert set(seen) == set(payloads(filter(document.holds, handbook.cards)))


def test_codes_that_are_all_there_pass():
    check_codes(sample_pdf("binder"), payloads(sample_handbook().cards))


def test_a_code_that_is_missing_is_named():
    card = pouch_list_card("drawer/teal", 2)
    with pytest.raises(PublishError, match=r"'https://handbook\.example/other' cannot be read back"):
        check_codes(
            POUCH_LISTS.render(Rendering(sample_handbook(card))), [*payloads([card]), "https://handbook.example/other"]
        )


def test_a_code_that_nobody_asked_for_is_named():
    card = pouch_list_card("drawer/teal", 2)
    with pytest.raises(PublishError, match=r"page 1: .* is not one that was asked for"):
        check_codes(POUCH_LISTS.render(Rendering(sample_handbook(card))), [])


def with_code(level: Any, payload: str = "https://handbook.example/x.html", **changes: Any):
    block = replace(code_of("x", "A2B3C"), payload=payload, **changes)
    drawing = code(block.encoded, level=level, side_mm=28)
    block = replace(block, picture=replace(block.picture, data=drawing.svg.encode()))
    card = pouch_list_card("drawer/teal", 1)
    return replace(card, front=(*card.front[:-1], block))


def test_a_code_of_a_weaker_level_is_refused():
    card = with_code("L")
    with pytest.raises(PublishError, match="error correction L, not Q or H"):
        check_codes(POUCH_LISTS.render(Rendering(sample_handbook(card))), payloads([card]))


def test_a_code_that_holds_the_cards_text_is_read_back_to_the_letter():
    card = with_code("Q", "Sillón 1 · turquesa\n2 × Bolsa para señales ½", address="")
    pdf = POUCH_LISTS.render(Rendering(sample_handbook(card)))
    check_codes(pdf, payloads([card]))
    assert read_codes(pdf)[0].text.splitlines()[0] == "Sillón 1 · turquesa"


def test_a_spoiled_code_is_noticed():
    card = with_code("Q")
    block = card.front[-1]
    half = block.picture.data.replace(b'fill="#000000"', b'fill="#ffffff"', 1)
    spoiled = replace(card, front=(*card.front[:-1], replace(block, picture=replace(block.picture, data=half))))
    with pytest.raises(PublishError, match="cannot be read back"):
        check_codes(POUCH_LISTS.render(Rendering(sample_handbook(spoiled))), payloads([card]))


def test_every_code_is_at_least_25_mm_wide_on_white():
    for name in ("refill_cards", "pouch_lists"):
        pdf = sample_pdf(name)
        for found in read_codes(pdf):
            page = Image.fromarray(pixels(pdf, found.page, dpi=150))
            for symbol in pyzbar.decode(page, symbols=[pyzbar.ZBarSymbol.QRCODE]):
                modules = 33 if len(symbol.data) <= 46 else 37
                side = symbol.rect.width / 150 * 25.4
                quiet = 4 * side / modules
                assert side + 2 * quiet >= 25
                left, top = symbol.rect.left, symbol.rect.top
                px = int(quiet / 25.4 * 150) - 2
                around = page.convert("L").crop((left - px, top - px, left + symbol.rect.width + px, top - 2))
                assert np.asarray(around).min() > 240


@pytest.mark.skipif(not hasattr(zxingcpp, "create_barcode"), reason="an older decoder draws none, and sees none")
def test_what_looks_like_a_micro_qr_code_is_no_code():
    """A bit of a refill card was taken for one of five digits (ISO/IEC 18004, M1), and nothing was printed."""
    small = zxingcpp.create_barcode("94032", zxingcpp.BarcodeFormat.MicroQRCode).to_image(scale=6)
    picture = np.pad(np.array(small), 40, constant_values=255)
    family = zxingcpp.barcode_formats_from_str("QRCode")
    assert [found.text for found in zxingcpp.read_barcodes(picture, formats=family)] == ["94032"]
    assert zxingcpp.read_barcodes(picture, formats=QR_CODE) == []
