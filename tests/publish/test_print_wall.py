"""Wall cards measured on the finished sheets: where they lie, what stays off the trim, how large their letters are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pypdfium2 as pdfium
import pytest
from pdf_pages import box_mm, of_colour, page_sizes_mm, page_texts, pixels
from sample_handbook import chair_card, picture, pouch_items, sample_handbook, set_card

from kitdocs.document.blocks import Fact, Facts, Item, Items
from kitdocs.drawings.drawing import document, rect
from kitdocs.practice.problems import PublishError
from kitdocs.publish.print.documents import REFILL_CARDS
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

# Index cards: 3 × 5 in and 4 × 6 in.
SMALL, USUAL = (3 * 25.4, 5 * 25.4), (6 * 25.4, 4 * 25.4)
BLEED, GUTTER, BAND = 3.0, 6.0, 0.17 * USUAL[0]
#: Below the band of such a card, its code: 28 mm with the quiet zone, which begins 2 mm from the trim.
CODE = 28.0 + 2.0
COLOURS = ("#00766c", "#d81b74", "#1b2f66", "#b8622a")


def chairs(count: int, rows: int = 1):
    return tuple(
        chair_card(f"r/{n}", name=f"Chair {n}", word="teal", colour=COLOURS[n], items=pouch_items(rows))
        for n in range(count)
    )


def plain_chairs(count: int):
    """Chairs with so little to say that each is one small card."""
    short = Facts(facts=(Fact(label="Size", value="small"),))
    return tuple(
        replace(
            card,
            front=(card.front[0], Items(items=(Item(id="x", name="Ties", count=1),)), card.front[-1]),
            back=(short,),
        )
        for card in chairs(count)
    )


def trim_of(paper: tuple[float, float], place: int) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of the card at `place` of a sheet that holds two 4 × 6 in cards, one above the other."""
    left = (paper[0] - USUAL[0]) / 2
    top = (paper[1] - 2 * USUAL[1] - GUTTER) / 2 + place * (USUAL[1] + GUTTER)
    return left, top, left + USUAL[0], top + USUAL[1]


@pytest.fixture(scope="module")
def two_cards() -> bytes:
    return REFILL_CARDS.render(Rendering(sample_handbook(*chairs(1, 3), set_card("s/core", 4), text_mm=3.0)))


def test_a_sheet_lies_or_stands_as_more_cards_find_room():
    # 4 of 5 × 3 in on a lying sheet against 3 on an upright one; 2 of 6 × 4 in on an upright one against 1.
    lying = REFILL_CARDS.render(Rendering(sample_handbook(*chairs(4), card_mm=(SMALL[1], SMALL[0]))))
    assert page_sizes_mm(lying)[0] == pytest.approx((279.4, 215.9), abs=0.1)
    upright = REFILL_CARDS.render(Rendering(sample_handbook(*chairs(4))))
    assert page_sizes_mm(upright)[0] == pytest.approx((215.9, 279.4), abs=0.1)
    assert len(page_sizes_mm(upright)) == 4


def test_backs_register_when_an_upright_sheet_is_turned_on_its_long_edge():
    """Left becomes right: a card's back lies where its front is seen through the sheet."""
    pdf = REFILL_CARDS.render(Rendering(sample_handbook(*plain_chairs(4), card_mm=SMALL)))
    width = page_sizes_mm(pdf)[0][0]
    assert page_sizes_mm(pdf)[0][1] > width
    front, back = pixels(pdf, 0), pixels(pdf, 1)
    placed = set()
    for colour in first_colours(front):
        fl, ft, _, fb = box_mm(of_colour(front, colour))
        bl, bt, _, bb = box_mm(of_colour(back, colour))
        # The band begins at the left trim line, less its bleed, on both sides.
        front_trim, back_trim = fl + BLEED, bl + BLEED
        assert back_trim == pytest.approx(width - (front_trim + SMALL[0]), abs=0.15)
        assert (bt, bb) == pytest.approx((ft, fb), abs=0.15)
        placed.add((round(front_trim), round(ft)))
    assert len(placed) == 4


def test_backs_register_when_a_lying_sheet_is_turned_on_its_long_edge():
    """The long edge of a lying sheet is its upper one: top becomes bottom."""
    pdf = REFILL_CARDS.render(Rendering(sample_handbook(*plain_chairs(4), card_mm=(SMALL[1], SMALL[0]))))
    width, height = page_sizes_mm(pdf)[0]
    assert width > height
    front, back = pixels(pdf, 0), pixels(pdf, 1)
    placed = set()
    for colour in first_colours(front):
        fl, ft, _, fb = box_mm(of_colour(front, colour))
        bl, bt, _, bb = box_mm(of_colour(back, colour))
        assert bl == pytest.approx(fl, abs=0.15)
        assert (bt, bb) == pytest.approx((height - fb, height - ft), abs=0.15)
        placed.add((round(fl), round(ft)))
    assert len(placed) == 4


def first_colours(image) -> list[str]:
    return [colour for colour in COLOURS if of_colour(image, colour).any()]


def test_the_band_bleeds_3_mm_over_its_edges_and_leaves_its_foot_to_the_code(two_cards):
    left, top, right, bottom = box_mm(of_colour(pixels(two_cards, 0), COLOURS[0]))
    trim = trim_of(page_sizes_mm(two_cards)[0], 0)
    assert (trim[0] - left, trim[1] - top) == pytest.approx((3, 3), abs=0.15)
    assert trim[3] - bottom == pytest.approx(CODE, abs=0.15)
    assert right - trim[0] == pytest.approx(BAND, abs=0.2)


def test_the_code_below_the_band_has_its_quiet_zone_on_every_side(two_cards):
    """Four modules, ISO/IEC 18004; below and beside it the paper is white as far as the trim."""
    left, _, _, bottom = trim_of(page_sizes_mm(two_cards)[0], 0)
    mm = 300 / 25.4
    corner = pixels(two_cards, 0)[round((bottom - CODE) * mm) + 2 : round(bottom * mm), round(left * mm) :]
    code = box_mm(np.all(corner[:, : round((BAND + 5) * mm)] < 128, axis=2))
    side = code[2] - code[0]
    assert code[3] - code[1] == pytest.approx(side, abs=0.2) and side > 20
    modules = next(n for n in range(21, 178, 4) if abs(side - 28 * n / (n + 8)) < 0.15)
    quiet = 4 * 28 / (modules + 8) - 0.2
    assert min(code[0] - 1.5, code[1], CODE - 2 - code[3]) >= quiet
    assert min(code[0], CODE - code[3]) >= 4


@pytest.mark.parametrize("page", [0, 1])
@pytest.mark.parametrize("place", [0, 1])
def test_nothing_that_matters_lies_within_4_mm_of_a_trim_line(two_cards, page, place):
    image = pixels(two_cards, page)
    left, top, right, bottom = trim_of(page_sizes_mm(two_cards)[0], place)
    inked = np.any(image < 250, axis=2)
    if place == 0:  # the coloured band is there to be cut
        inked &= ~of_colour(image, COLOURS[0], slack=60)
    mm = 300 / 25.4
    card = inked[round(top * mm) : round(bottom * mm), round(left * mm) : round(right * mm)]
    edge = round(4 * mm) - 1
    inner = np.zeros_like(card)
    inner[edge:-edge, edge:-edge] = True
    # Where a band's colour meets white it is neither: leave the seam out.
    seam = np.zeros_like(card)
    if place == 0:
        at = round((BAND if page == 0 else 7) * mm)
        seam[:, at - 3 : at + 3] = True
    assert not (card & ~inner & ~seam).any()
    assert card.any()


def test_crop_marks_point_at_every_trim_line_and_touch_no_card(two_cards):
    image = pixels(two_cards, 0)
    dark = (image < 120).all(axis=2)
    mm = 300 / 25.4
    cards = [trim_of(page_sizes_mm(two_cards)[0], place) for place in (0, 1)]
    left, right = cards[0][0], cards[0][2]
    outside = dark.copy()
    outside[:, round((left - BLEED) * mm) : round((right + BLEED) * mm)] = False
    for _, top, _, bottom in cards:
        for y in (top, bottom):
            rows = outside[round(y * mm) - 2 : round(y * mm) + 3]
            for side in (rows[:, : round(left * mm)], rows[:, round(right * mm) :]):
                assert side.any(axis=0).sum() / mm == pytest.approx(5, abs=0.3)
    marked = box_mm(outside)
    assert marked[0] > 6, "an office printer leaves the outer millimetres white"


@pytest.mark.parametrize("page", [0, 1])
def test_capital_letters_are_never_lower_than_the_reading_distance_asks(two_cards, page):
    sheet = pdfium.PdfDocument(two_cards)[page]
    text = sheet.get_textpage()
    below_the_cards = (279.4 - 2 * USUAL[1] - GUTTER) / 2 / 25.4 * 72
    heights = {}
    for n in range(text.count_chars()):
        letter = text.get_text_range(n, 1)
        _, low, _, high = text.get_charbox(n)
        if letter in "BDEFHIKLMNPRTUWXYZ" and low > below_the_cards:
            heights[n] = (high - low) / 72 * 25.4
    assert len(heights) >= 8
    assert min(heights.values()) >= 3.0 - 0.02


def test_a_card_that_cannot_hold_its_rows_goes_on_to_a_second_card():
    texts = page_texts(REFILL_CARDS.render(Rendering(sample_handbook(*chairs(1, 9)))))
    fronts = " ".join(texts[::2])
    cards = fronts.count("edition K7Q2M")
    assert cards > 1
    for n in range(1, cards + 1):
        assert f"card {n} of {cards}" in fronts
    names = [item.name for item in pouch_items(9)]
    for name in set(names):
        assert fronts.replace("\n", " ").count(name) == names.count(name)


def test_the_foot_gives_address_and_edition_or_says_what_the_code_holds():
    (card,) = chairs(1)
    text = page_texts(REFILL_CARDS.render(Rendering(sample_handbook(card))))[0]
    assert "handbook.example/r/0.html" in text
    assert "edition K7Q2M" in text
    note = "There is no site yet, so this code holds the text of this card."
    alone = replace(card, front=(*card.front[:-1], replace(card.front[-1], address="", note=note)))
    assert note in page_texts(REFILL_CARDS.render(Rendering(sample_handbook(alone))))[0]


def test_one_row_and_fourteen_rows_are_both_cards():
    for rows in (1, 14):
        text = " ".join(page_texts(REFILL_CARDS.render(Rendering(sample_handbook(*chairs(1, rows)))))[::2])
        assert text.count("Wire-shaping pouch") == [item.name for item in pouch_items(rows)].count("Wire-shaping pouch")


def test_many_pictures_of_one_pouch_wrap_and_stay_at_least_11_mm_high():
    box = picture("box", document([rect(0, 0, 18, 22, fill="#336699")], width_mm=18, height_mm=22))
    full = Item(id="all", name="Everything", detail="twelve things", count=1, pictures=(box,) * 12)
    card = chair_card("r/0", name="Chair 0", word="teal", colour=COLOURS[0], items=(full, *pouch_items(2)))
    pdf = REFILL_CARDS.render(Rendering(sample_handbook(card)))
    found = of_colour(pixels(pdf, 0), "#336699")
    edges = np.diff(found.astype(int), axis=0)
    starts, ends = np.argwhere(edges.T == 1), np.argwhere(edges.T == -1)
    tall = (ends[:, 1] - starts[:, 1]) / 300 * 25.4
    assert tall.min() >= 11 - 0.1
    lines = {int(row) for _, row in starts}
    assert len(lines) == 2
    wide = np.diff(found.astype(int), axis=1)
    counts = [(wide[row + 20] == 1).sum() for row in sorted(lines)]
    assert sum(counts) == 12


def test_a_card_that_no_sheet_holds_is_refused_in_words():
    with pytest.raises(PublishError, match="250 × 300 mm does not fit the paper"):
        REFILL_CARDS.render(Rendering(sample_handbook(*chairs(1), card_mm=(250, 300))))


def test_a_card_too_small_for_its_own_words_is_refused_in_words():
    with pytest.raises(PublishError, match=r"Refill Chair 0.*too small"):
        REFILL_CARDS.render(Rendering(sample_handbook(*chairs(1), card_mm=(90, 50))))


def test_the_last_sheet_may_be_partly_filled():
    assert len(page_sizes_mm(REFILL_CARDS.render(Rendering(sample_handbook(*chairs(3)))))) == 4


def test_what_bleeds_lies_under_the_trim_on_the_back_too(two_cards):
    left, top, _, bottom = box_mm(of_colour(pixels(two_cards, 1), COLOURS[0]))
    width, height = page_sizes_mm(two_cards)[1]
    # Turned on the long edge the card lies where its front does, mirrored.
    front = trim_of((width, height), 0)
    assert (front[0] - left, front[1] - top, bottom - front[3]) == pytest.approx((3, 3, 3), abs=0.15)


@pytest.mark.parametrize(
    ("paper", "sides"),
    # ISO 216 A4 and US Letter (8.5 × 11 in), SOURCES: ISO 216.
    [("a4", (210.0, 297.0)), ("letter", (215.9, 279.4))],
)
def test_sheets_are_iso_216_or_letter_and_cards_lie_6_mm_inside_them(paper, sides):
    for card_mm in ((148, 105), (105, 148), (100, 70)):  # ISO 216 A6 both ways, and a size of nobody's
        pdf = REFILL_CARDS.render(Rendering(sample_handbook(*plain_chairs(4), card_mm=card_mm, paper=paper)))
        for size in page_sizes_mm(pdf):
            assert tuple(sorted(size)) == pytest.approx(sides, abs=0.05)
        image = pixels(pdf, 0)
        left, top, right, bottom = box_mm(np.any(image < 250, axis=2))
        width, height = page_sizes_mm(pdf)[0]
        assert min(left, top, width - right, height - bottom) >= 6 - 0.1


def test_no_front_is_empty_because_the_back_goes_on_to_a_second_card(example_handbooks):
    """In Spanish the pouch with implants has the longest facts."""
    for book in example_handbooks:
        text = " ".join(page_texts(REFILL_CARDS.render(Rendering(book))))
        assert book.words("print.continued_behind") not in text, book.language


#: Printed in grey by the luminance of Rec. 601, as Pillow's and most printers' drivers do.
GREY = (0.299, 0.587, 0.114)


def contrast(one: float, other: float) -> float:
    """WCAG 2.2, relative luminance of two greys of 0 to 255."""

    def luminance(level: float) -> float:
        c = level / 255
        return c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.fixture(scope="module")
def example_cards(example_handbooks) -> bytes:
    return REFILL_CARDS.render(Rendering(example_handbooks[0]))


def test_in_grey_the_words_of_every_band_stand_out_and_name_and_mark_tell_the_chairs_apart(
    example_handbooks, example_cards
):
    """At least 4.5:1 between ink and band, WCAG 2.2 AA, measured on the printed pixels."""
    chairs = [card for card in example_handbooks[0].cards if card.kind == "refill-chair"]
    texts, shapes = page_texts(example_cards), {}
    titles = [(page, card) for page in range(0, len(texts), 2) for card in chairs if card.title in texts[page]]
    for card in chairs:
        band = card.front[0]
        page = next(page for page, shown in titles if shown is card)
        place = 0 if texts[page].count(card.title) > 1 else [c for p, c in titles if p == page].index(card)
        left, top, _, bottom = trim_of(page_sizes_mm(example_cards)[page], place)
        grey = pixels(example_cards, page, dpi=150) @ np.array(GREY)
        mm = 150 / 25.4
        own = grey[
            round((top + 4) * mm) : round((bottom - CODE - 1) * mm),
            round((left + 1) * mm) : round((left + BAND - 1) * mm),
        ]
        ground = float(np.median(own))
        ink = float(own.min() if ground > 128 or abs(own.min() - ground) > abs(own.max() - ground) else own.max())
        assert contrast(ground, ink) >= 4.5, card.id
        assert band.name in texts[page]
        assert band.word.upper() in texts[page].upper()
        upper = np.abs(own[: round(26 * mm)] - ink) < 60
        shapes[card.id] = upper
    assert len({band.front[0].word for band in chairs}) == len(chairs) == len({band.front[0].name for band in chairs})
    drawn = list(shapes.items())
    for n, (one, first) in enumerate(drawn):
        for other, second in drawn[n + 1 :]:
            rows = min(first.shape[0], second.shape[0])
            columns = min(first.shape[1], second.shape[1])
            differ = (first[:rows, :columns] != second[:rows, :columns]).mean()
            assert differ > 0.02, f"{one} and {other} look alike without colour"


def test_a_capital_on_the_printed_page_is_as_high_as_the_reading_distance_asks(example, example_cards):
    """Reading distance ÷ 200 and never below 2.5 mm (FAA), in the pixels of the page."""
    least = max(2.5, example.settings.reading_distance / 200)
    sheet = pdfium.PdfDocument(example_cards)[0]
    text = sheet.get_textpage()
    words = text.get_text_bounded()
    mm = 600 / 25.4
    image = pixels(example_cards, 0, dpi=600)
    height = page_sizes_mm(example_cards)[0][1]
    found = []
    for n, letter in enumerate(words):
        left, low, right, high = (value / 72 * 25.4 for value in text.get_charbox(n))
        if letter not in "BEHT" or low < 30 or right - left > 8:
            continue
        box = image[
            round((height - high - 0.3) * mm) : round((height - low + 0.3) * mm), round(left * mm) : round(right * mm)
        ]
        rows = np.flatnonzero((box.min(axis=2) < 128).any(axis=1))
        if rows.size and letter in "BEHT" and box.shape[1] < box.shape[0]:
            found.append((rows[-1] - rows[0] + 1) / mm)
    assert len(found) > 10
    assert min(found) >= least - 0.1
