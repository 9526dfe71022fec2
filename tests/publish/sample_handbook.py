"""An invented handbook with every kind of block, long names and signs beyond ASCII, for the tests of publishing."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache
from typing import Literal

from PIL import Image, ImageDraw

from kitdocs.document.blocks import (
    Band,
    Block,
    Caution,
    Cell,
    Chart,
    Code,
    Fact,
    Facts,
    FormGrid,
    Heading,
    Illustration,
    Item,
    Items,
    Listing,
    Matrix,
    Paragraph,
    Picture,
    Prose,
    Span,
    Step,
    Steps,
)
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import built_in_catalog
from kitdocs.drawings.codes import code
from kitdocs.drawings.drawing import Drawing, document, rect, straight
from kitdocs.drawings.instruments import tip
from kitdocs.drawings.marks import chair_mark, set_mark
from kitdocs.publish.print.binder import binder
from kitdocs.publish.print.documents import POUCH_LISTS, REFILL_CARDS
from kitdocs.publish.print.rendering import Rendering

TIPS = (
    "bird-beak-plier",
    "three-prong-plier",
    "weingart-plier",
    "ligature-cutter",
    "scissors",
    "mouth-mirror",
    "explorer",
    "scaler",
    "distal-end-cutter",
    "mathieu-needle-holder",
    "band-pusher",
    "cotton-plier",
    "bracket-holder",
    "howe-plier",
)

WET_PACK = Caution(title="Wet, torn or open pack?", text="Do not put it away: clean, pack and sterilize it again.")


def picture(name: str, drawing: Drawing, alt: str = "") -> Picture:
    return Picture(
        name=name, alt=alt, data=drawing.svg.encode(), width_mm=drawing.width_mm, height_mm=drawing.height_mm
    )


def tip_picture(kind: str) -> Picture:
    return picture(f"tip-{kind}", tip(kind))


def code_of(page: str, edition: str) -> Code:
    payload = f"https://handbook.example/{page}.html"
    drawing = code(f"{payload}#{edition}", level="Q", side_mm=28)
    return Code(
        payload=payload,
        address=f"handbook.example/{page}.html",
        edition=edition,
        note="Scan to open this card and to see whether it is still current.",
        picture=Picture(
            name=f"code-{page}",
            alt=f"Code of the card {page}",
            data=drawing.svg.encode(),
            width_mm=drawing.width_mm,
            height_mm=drawing.height_mm,
        ),
    )


def packing_steps(count: int = 6) -> Steps:
    texts = (
        "Clean, dry, looked over. Hinges open.",
        "Slide it in, tip first, away from the peel end.",
        "Lay the internal indicator beside it.",
        "Peel the strip. Fold on the line, press flat.",
        "On the film, write sterilizer, load and date.",
        "Film side as the sterilizer's maker says. Never stacked.",
    )
    drawing = document([rect(1, 1, 38, 26, line=0.5), straight(6, 14, 34, 14, line=0.8)], width_mm=40, height_mm=28)
    return Steps(
        title="How this pouch is packed",
        steps=tuple(Step(text=text, picture=picture("step", drawing)) for text in texts[:count]),
    )


def chair_card(page: str, *, name: str, word: str, colour: str, items: tuple[Item, ...], ink: str = "#ffffff") -> Card:
    mark = picture(f"mark-{page}", chair_mark("circle", ink), "circle")
    return Card(
        id=page,
        kind="refill-chair",
        form="wall",
        title=f"Refill {name}",
        subtitle=word,
        edition="K7Q2M",
        section="Refill cards",
        hangs="On the wall of the reprocessing room",
        front=(
            Band(word=word, name=name, note="what belongs in the drawer", colour=colour, ink=ink, mark=mark),
            Items(items=items, ticks=True),
            WET_PACK,
            code_of(page, "K7Q2M"),
        ),
        back=(
            packing_steps(),
            Facts(
                title="Sizes and labels",
                facts=tuple(
                    Fact(label=item.name, value="Medium pouch, 5¼ × 10 in (133 × 254 mm). Label: BW")
                    for item in items[:3]
                ),
            ),
        ),
    )


def pouch_items(rows: int, pictures: int = 2) -> tuple[Item, ...]:
    names = (
        "Wire-shaping pouch",
        "Trimming pouch",
        "Spare pouch",
        "Bolsa para ligaduras elásticas y señales",
        "Tie pouch",
    )
    return tuple(
        Item(
            id=f"pouch-{n}",
            name=names[n % len(names)],
            detail="bird-beak plier · three-prong plier" if n % 2 == 0 else "scissors",
            count=(2, 1, 12)[n % 3],
            pictures=tuple(tip_picture(TIPS[(n + k) % len(TIPS)]) for k in range(pictures)),
        )
        for n in range(rows)
    )


def set_card(page: str, rows: int) -> Card:
    mark = picture("mark-set", set_mark("chevron"), "a chevron")
    return Card(
        id=page,
        kind="refill-set",
        form="wall",
        title="Core set",
        subtitle="CO",
        edition="P4R7T",
        section="Refill cards",
        front=(
            Band(word="CO", name="Core set", note="what belongs in the cassette", mark=mark),
            Items(
                items=tuple(
                    Item(id=kind, name=kind.replace("-", " "), count=1, pictures=(tip_picture(kind),))
                    for kind in TIPS[:rows]
                )
            ),
            WET_PACK,
            code_of(page, "P4R7T"),
        ),
        back=(packing_steps(4),),
    )


def true_size_drawing(width: float, height: float) -> Picture:
    """A box whose outer edges are exactly the picture's, so that choose from measured in pixels."""
    drawing = document(
        [rect(0, 0, width, height, fill="#000000"), rect(2, 2, width - 4, height - 4, fill="#ffffff")],
        width_mm=width,
        height_mm=height,
    )
    return picture(f"layout-{width}x{height}", drawing, "The set in its cassette")


def template_card(page: str, width: float, height: float, places: int = 8) -> Card:
    mark = picture("mark-set", set_mark("chevron"), "a chevron")
    return Card(
        id=page,
        kind="template",
        form="template",
        title="Template: Core set",
        subtitle="CO",
        edition="T9W3X",
        section="Set templates",
        hangs="At the packing bench",
        front=(
            Band(word="CO", name="Core set", note="how it lies in the cassette", mark=mark),
            Illustration(
                picture=true_size_drawing(width, height),
                caption="Medium cassette, inside, at true size.",
                true_size=True,
            ),
            Items(
                title="The places, in order",
                items=tuple(
                    Item(id=f"{n}", number=n + 1, name=TIPS[n].replace("-", " "), pictures=(tip_picture(TIPS[n]),))
                    for n in range(places)
                ),
            ),
            Facts(
                title="The pack",
                facts=(
                    Fact(label="Cassette", value="Medium cassette"),
                    Fact(label="Mark", value="a chevron, on the cassette", picture=mark),
                ),
            ),
            Steps(
                title="Five looks before you close it",
                numbered=False,
                steps=tuple(Step(text=f"Look number {n}: nothing is loose, nothing is extra.") for n in range(1, 6)),
            ),
            Caution(title="Whose word counts", text="The makers' instructions for use, local law and codes decide."),
            code_of(page, "T9W3X"),
        ),
    )


def photo() -> Picture:
    image = Image.new("RGB", (320, 240), "#8899aa")
    ImageDraw.Draw(image).ellipse((60, 40, 260, 200), fill="#556677")
    held = io.BytesIO()
    image.save(held, "JPEG", quality=80)
    return Picture(
        name="photo", alt="The core set, laid", data=held.getvalue(), format="jpeg", width_mm=60, height_mm=45
    )


def every_block() -> Card:
    """One sheet with every kind of block."""
    bars = document([rect(0, 40 - h, 10, h, fill="#777777") for h in (10, 20, 30)], width_mm=120, height_mm=40)
    matrix = Matrix(
        title="Supplies — ½ box",
        head=("Thing", "Detail", "Number"),
        rows=tuple(
            (Cell(text=f"Row {n}"), Cell(text="piñón “café”", detail="135 °C", link="r/teal"), Cell(text=str(n)))
            for n in range(3)
        ),
        numbers=(2,),
    )
    blocks: tuple[Block, ...] = (
        Band(word="LIME", name="Chair 4", note="pale", colour="#d9e021", ink="#000000", outlined=True),
        Heading(text="A heading", level=2),
        Facts(
            title="Facts",
            facts=(Fact(label="Label", value="Value"), Fact(label="Mark", value="dots", picture=tip_picture("scaler"))),
        ),
        Items(title="Items", items=pouch_items(2)),
        Steps(title="Steps", steps=(Step(text="First."), Step(text="Then."))),
        WET_PACK,
        Illustration(picture=photo(), caption="A photo"),
        matrix,
        Chart(
            title="Chart",
            picture=picture("bars", bars, "Three bars"),
            summary="It rises.",
            table=replace(matrix, title=""),
        ),
        FormGrid(
            title="Form",
            columns=("Date", "Load", "Initials"),
            widths=(1, 2, 1),
            rows=4,
            fields=("Sterilizer", "Week of"),
        ),
        Prose(
            parts=(
                Heading(text="Prose", level=2),
                Heading(text="Too deep", level=4),
                Paragraph(
                    spans=(
                        Span(text="Plain, "),
                        Span(text="strong", strong=True),
                        Span(text=" and "),
                        Span(text="a card", href="#r/teal"),
                    )
                ),
                Paragraph(spans=(Span(text="An address", href="https://handbook.example/"),)),
                Listing(
                    items=(
                        (Paragraph(spans=(Span(text="one"),)),),
                        (
                            Paragraph(spans=(Span(text="two"),)),
                            Listing(items=((Paragraph(spans=(Span(text="two and a half"),)),),)),
                        ),
                    )
                ),
                Listing(ordered=True, items=((Paragraph(spans=(Span(text="first"),)),),)),
            )
        ),
        code_of("pages/every", "E2E2E"),
    )
    return Card(
        id="pages/every",
        kind="page",
        form="sheet",
        title="Every block",
        edition="E2E2E",
        section="Our own pages",
        front=blocks,
    )


def pouch_list_card(page: str, rows: int) -> Card:
    items = tuple(replace(item, note="For debonding, retainer delivery and wire changes") for item in pouch_items(rows))
    wall = chair_card(page, name="Chair 1", word="teal", colour="#00766c", items=items)
    return replace(
        wall,
        id=page,
        kind="pouch-list",
        form="sheet",
        title="Drawer of Chair 1",
        section="Pouch lists",
        hangs="In the drawer of Chair 1",
        back=(),
    )


def sample_handbook(
    *cards: Card,
    paper: Literal["letter", "a4"] = "letter",
    card_mm: tuple[float, float] = (152.4, 101.6),
    text_mm: float = 2.5,
    language: str = "en",
) -> Handbook:
    chosen = cards or (
        every_block(),
        chair_card("r/teal", name="Chair 1", word="teal", colour="#00766c", items=pouch_items(3)),
        chair_card("r/pink", name="Chair 2", word="pink", colour="#d81b74", items=pouch_items(4)),
        set_card("s/core", 8),
        pouch_list_card("drawer/teal", 4),
        template_card("t/core", 190, 142),
        template_card("t/slim", 170, 75, 4),
    )
    return Handbook(
        practice="Tern & Juniper Orthodontics",
        language=language,
        words=built_in_catalog(language),
        languages=("en", "es"),
        site="https://handbook.example/",
        paper=paper,
        card_mm=card_mm,
        text_mm=text_mm,
        cards=chosen,
    )


@cache
def sample_pdf(
    name: Literal["binder", "refill_cards", "pouch_lists"], paper: Literal["letter", "a4"] = "letter"
) -> bytes:
    """One of the PDFs of the sample, made once a run."""
    return {"binder": binder, "refill_cards": REFILL_CARDS.render, "pouch_lists": POUCH_LISTS.render}[name](
        Rendering(sample_handbook(paper=paper))
    )
