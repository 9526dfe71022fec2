"""A small invented handbook in two languages with every kind of block, every form of card, and awkward names."""

from __future__ import annotations

from dataclasses import replace

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
from kitdocs.document.card import Card, CardKind, Handbook
from kitdocs.document.catalog import built_in_catalog
from kitdocs.document.history import EarlierEdition, WithdrawnCard
from kitdocs.drawings import instruments
from kitdocs.practice.kinds import DrawingKind

SITE = "https://handbook.example/bay"
AWKWARD = "Cutters <b>& “more”"

#: Colour name (English, Spanish), colour, ink, too pale for white paper, mark.
CHAIRS = {
    "teal": (("teal", "turquesa"), "#00766c", "#ffffff", False, "circle"),
    "orange": (("orange", "naranja"), "#ee8f1f", "#000000", False, "square"),
    "navy": (("navy", "azul marino"), "#1c2f63", "#ffffff", False, "triangle"),
    "yellow": (("yellow", "amarillo"), "#f4dc3c", "#000000", True, "diamond"),
    "pink": (("pink", "rosa"), "#ee8fb5", "#000000", False, "hexagon"),
    "white": (("white", "blanco"), "#ffffff", "#000000", True, "ring"),
}
SHAPES = {
    "circle": '<circle cx="10" cy="10" r="8"/>',
    "square": '<path d="M3 3h14v14H3z"/>',
    "triangle": '<path d="M10 2l9 16H1z"/>',
    "diamond": '<path d="M10 1l9 9-9 9-9-9z"/>',
    "hexagon": '<path d="M5 2h10l5 8-5 8H5L0 10z"/>',
    "ring": '<path d="M10 1a9 9 0 1 0 .01 0zm0 4a5 5 0 1 1-.01 0z"/>',
}


def svg(name: str, width: float, height: float, inside: str, alt: str = "") -> Picture:
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}">'
    return Picture(name=name, alt=alt, data=f"{head}{inside}</svg>".encode(), width_mm=width, height_mm=height)


def mark(shape: str, colour: str) -> Picture:
    return svg(f"mark-{shape}-{colour[1:]}", 20, 20, f'<g fill="{colour}">{SHAPES[shape]}</g>', shape)


def tip(kind: DrawingKind) -> Picture:
    drawing = instruments.tip(kind)
    return Picture(
        name=f"tip-{kind}", data=drawing.svg.encode(), width_mm=drawing.width_mm, height_mm=drawing.height_mm
    )


def handbooks() -> tuple[Handbook, ...]:
    return handbook("en"), handbook("es")


def handbooks_with_a_past() -> tuple[Handbook, ...]:
    """The same with the list of current cards, a card that hung in earlier editions, and one that is withdrawn."""
    return tuple(_with_a_past(book) for book in handbooks())


def _with_a_past(book: Handbook) -> Handbook:
    in_english = book.language == "en"

    def say(english: str, spanish: str) -> str:
        return english if in_english else spanish

    def table(title: str, kinds: tuple[str, ...]) -> Matrix:
        rows = tuple(
            (Cell(text=card.title, detail=card.subtitle, link=card.id), Cell(text=card.edition), Cell(tick=True))
            for card in book.cards
            if card.kind in kinds
        )
        head = (say("Card", "Tarjeta"), say("Edition", "Edición"), say("Seen", "Vista"))
        return Matrix(title=title, head=head, rows=rows)

    current = Card(
        id="current",
        kind="current-cards",
        form="sheet",
        title=say("Current cards", "Tarjetas vigentes"),
        edition=say("CRN22", "CRN33"),
        section=say("Audit", "Auditoría"),
        front=(
            table(say("On the wall", "En la pared"), ("refill-chair",)),
            table(say("At the bench", "En la mesa"), ("template", "pouch-list")),
        ),
    )
    changes = (
        say("Wire-shaping pouch: 1 → 2", "Bolsa para doblar arcos: 1 → 2"),
        say("Spare pouch added", "Se añadió la bolsa de repuesto"),
    )
    return replace(
        book,
        cards=(*book.cards, current),
        earlier={"r/teal": (EarlierEdition(edition=say("LD222", "LD333"), printed="2026-03-03", changes=changes),)},
        withdrawn=(
            WithdrawnCard(
                id="r/plum",
                title=say("Chair 8", "Sillón 8"),
                subtitle=say("plum", "ciruela"),
                hangs=say("On the wall above the drawers", "En la pared sobre los cajones"),
                editions=(say("GN222", "GN333"),),
            ),
        ),
    )


def handbook(language: str) -> Handbook:
    return Handbook(
        practice="Bay Street Orthodontics" if language == "en" else "Ortodoncia de la Bahía",
        language=language,
        words=built_in_catalog(language),
        languages=("en", "es"),
        site=SITE,
        rounds=(7 * 60 + 30, 12 * 60 + 15),
        paper="letter",
        card_mm=(152.4, 101.6),
        text_mm=2.5,
        cards=tuple(_Cards(language).all()),
    )


class _Cards:
    def __init__(self, language: str) -> None:
        self.language = language

    def say(self, english: str, spanish: str) -> str:
        return english if self.language == "en" else spanish

    def all(self) -> list[Card]:
        cards = [self.first_day(), self.procedure_map(), self.house_rules()]
        cards += [self.refill(chair) for chair in CHAIRS]
        cards += [self.pouch_list("teal"), self.template(), self.spore_test()]
        cards += [self.by_picture(), self.instrument(), self.procedures(), self.procedure(), self.round()]
        return [replace(card, edition=self.edition(number)) for number, card in enumerate(cards)]

    def edition(self, number: int) -> str:
        return ("K7Q2M", "P4D8X")[self.language == "es"][:4] + "23456789CDFGHJKMNPQRTVWX"[number]

    def band(self, chair: str) -> Band:
        words, colour, ink, outlined, shape = CHAIRS[chair]
        return Band(
            word=self.say(*words),
            name=self.say("Chair", "Sillón") + f" {list(CHAIRS).index(chair) + 1}",
            note=self.say("what belongs in the drawer", "lo que va en el cajón"),
            colour=colour,
            ink=ink,
            outlined=outlined,
            mark=mark(shape, ink),
        )

    def rows(self, ticks: bool) -> Items:
        return Items(
            ticks=ticks,
            items=(
                Item(
                    id="shaping",
                    name=self.say("Wire-shaping pouch", "Bolsa para doblar arcos"),
                    detail=self.say(
                        "bird-beak plier · three-prong plier", "alicate pico de pájaro · alicate de tres puntas"
                    ),
                    count=2,
                    pictures=(tip("bird-beak-plier"), tip("three-prong-plier")),
                ),
                Item(
                    id="trimming",
                    name=AWKWARD,
                    detail=self.say("scissors", "tijeras"),
                    note=self.say("For bonding and band visits.", "Para visitas de cementado y de bandas."),
                    count=1,
                    pictures=(tip("scissors"),),
                    link="set/core",
                ),
                Item(
                    id="spare",
                    name=self.say("Spare pouch", "Bolsa de repuesto"),
                    detail=self.say(
                        "Weingart plier · ligature cutter · distal end cutter · hard-wire cutter",
                        "alicate Weingart · cortador de ligadura · cortador distal · cortador de alambre duro",
                    ),
                    count=1,
                    pictures=tuple(
                        tip(k) for k in ("weingart-plier", "ligature-cutter", "distal-end-cutter", "hard-wire-cutter")
                    ),
                ),
            ),
        )

    def round(self) -> Card:
        """What is fetched, as the store has it; nothing says where the spare pouch stands."""
        shaping, trimming, _ = self.rows(ticks=False).items
        where = self.say("Upper shelf", "Estante superior")
        fetched = tuple(replace(item, detail="", note=where, count=None, link="") for item in (trimming, shaping))
        return Card(
            id="round",
            kind="round",
            form="page",
            title=self.say("The round", "La ronda"),
            section=self.say("Refill", "Reponer"),
            front=(Items(items=fetched),),
        )

    def code(self, page: str) -> Code:
        folder = "" if self.language == "en" else "es/"
        address = f"{SITE}/{folder}{page}.html"
        return Code(
            payload=address,
            address=address.removeprefix("https://"),
            edition="K7Q2M",
            note=self.say("Scan: is this card current?", "Escanee: ¿está vigente esta tarjeta?"),
            picture=svg("code-" + page.replace("/", "-"), 28, 28, '<path d="M0 0h28v28H0z"/>', "code"),
        )

    def caution(self) -> Caution:
        return Caution(
            title=self.say("Wet, torn or open pack?", "¿Paquete mojado, roto o abierto?"),
            text=self.say(
                "Do not put it away: clean, pack and sterilize it again.",
                "No lo guarde: vuelva a limpiar, empaquetar y esterilizar.",
            ),
        )

    def refill(self, chair: str) -> Card:
        band = self.band(chair)
        chairs = list(CHAIRS)
        packing = Steps(
            title=self.say("How this pouch is packed", "Cómo se prepara esta bolsa"),
            steps=(
                Step(text=self.say("Dry and inspect each tip.", "Seque y revise cada punta."), picture=tip("scissors")),
                Step(text=self.say("Put a new indicator inside.", "Ponga dentro un indicador nuevo.")),
                Step(text=self.say("Seal, then write the label.", "Selle y escriba la etiqueta.")),
            ),
        )
        sizes = Facts(
            title=self.say("Pouch sizes", "Tamaños de bolsa"),
            facts=(
                Fact(label=self.say("Wire-shaping pouch", "Bolsa para doblar arcos"), value="3½ × 9 in (90 × 230 mm)"),
                Fact(label=AWKWARD, value="2¼ × 8 in (57 × 203 mm)", picture=tip("scissors")),
            ),
        )
        return Card(
            id=f"r/{chair}",
            kind="refill-chair",
            form="wall",
            title=band.name,
            subtitle=band.word,
            section=self.say("Refill cards", "Tarjetas de reposición"),
            hangs=self.say("Reprocessing room, wall above the drawers", "Sala de reprocesado, pared sobre los cajones"),
            front=(band, self.rows(ticks=True), self.caution(), self.code(f"r/{chair}")),
            back=(packing, sizes),
            next=f"r/{chairs[(chairs.index(chair) + 1) % len(chairs)]}",
        )

    def pouch_list(self, chair: str) -> Card:
        return Card(
            id=f"drawer/{chair}",
            kind="pouch-list",
            form="sheet",
            title=self.say("Pouch list, Chair 1", "Lista de bolsas, Sillón 1"),
            subtitle=self.band(chair).word,
            section=self.say("In the drawers", "En los cajones"),
            front=(self.band(chair), self.rows(ticks=False), self.caution(), self.code(f"drawer/{chair}")),
        )

    def template(self) -> Card:
        inside = "".join(
            f'<rect x="{8 + 22 * n}" y="10" width="12" height="100" rx="5" fill="#eee" stroke="#1a1a1a"/>'
            f'<circle cx="{14 + 22 * n}" cy="122" r="7" fill="#fff" stroke="#1a1a1a"/>'
            f'<text x="{14 + 22 * n}" y="126" font-size="10" text-anchor="middle">{n + 1}</text>'
            for n in range(9)
        )
        kinds: tuple[DrawingKind, ...] = (
            "mouth-mirror",
            "explorer",
            "scaler",
            "cotton-plier",
            "bracket-holder",
            "weingart-plier",
        )
        return Card(
            id="set/core",
            kind="template",
            form="template",
            title=self.say("Basic set", "Set básico"),
            subtitle="BAS",
            section=self.say("Set templates", "Plantillas de sets"),
            hangs=self.say("Packing bench", "Mesa de empaquetado"),
            front=(
                Illustration(
                    picture=svg("layout-core", 203, 140, inside, self.say("Places 1 to 9", "Posiciones 1 a 9")),
                    caption=self.say("Lay from left to right.", "Coloque de izquierda a derecha."),
                    true_size=True,
                ),
                Items(
                    title=self.say("In this order", "En este orden"),
                    items=tuple(
                        Item(id=kind, name=kind.replace("-", " ").capitalize(), number=n + 1, pictures=(tip(kind),))
                        for n, kind in enumerate(kinds)
                    ),
                ),
                Facts(
                    facts=(
                        Fact(label=self.say("Mark", "Marca"), value="||", picture=mark("square", "#1a1a1a")),
                        Fact(label=self.say("Sheet", "Hoja"), value="24 × 24 in"),
                        Fact(label=self.say("End label", "Etiqueta"), value="BAS"),
                    )
                ),
            ),
        )

    def first_day(self) -> Card:
        areas = (
            ("Receiving", "Recepción"),
            ("Packaging", "Empaquetado"),
            ("Sterilization", "Esterilización"),
            ("Storage", "Almacén"),
        )
        way = "".join(
            f'<rect x="{2 + 48 * n}" y="4" width="42" height="32" fill="#fff" stroke="#1a1a1a"/>'
            f'<text x="{23 + 48 * n}" y="23" font-size="6" text-anchor="middle">{self.say(*area)}</text>'
            for n, area in enumerate(areas)
        )
        chairs = Items(
            title=self.say("The colours", "Los colores"),
            items=tuple(
                Item(
                    id=chair,
                    name=self.band(chair).name,
                    detail=self.band(chair).word,
                    pictures=(mark(CHAIRS[chair][4], CHAIRS[chair][1]),),
                    link=f"r/{chair}",
                )
                for chair in CHAIRS
            ),
        )
        nevers = Steps(
            title=self.say("Five nevers", "Cinco nuncas"),
            numbered=False,
            steps=tuple(
                Step(text=text)
                for text in (
                    self.say("Never carry an instrument backwards.", "Nunca lleve un instrumento hacia atrás."),
                    self.say("Never put away a wet pack.", "Nunca guarde un paquete mojado."),
                    self.say("Never guess: ask.", "Nunca adivine: pregunte."),
                )
            ),
        )
        return Card(
            id="first-day",
            kind="first-day",
            form="sheet",
            title=self.say("Your first day", "Su primer día"),
            subtitle=self.say("the way through the room", "el camino por la sala"),
            section=self.say("Start here", "Empiece aquí"),
            front=(
                Illustration(picture=svg("way-" + self.language, 190, 40, way, self.say("Four areas", "Cuatro áreas"))),
                chairs,
                nevers,
                self.caution(),
            ),
        )

    def procedure_map(self) -> Card:
        def row(name: str, code: str, pouch: str) -> tuple[Cell, ...]:
            return (
                Cell(text=name),
                Cell(text=self.say("Basic set", "Set básico"), detail="BAS", link="set/core"),
                Cell(text=pouch),
                Cell(text=code, picture=tip("scissors") if pouch else None),
            )

        head = (
            self.say("Procedure", "Procedimiento"),
            self.say("Set", "Set"),
            self.say("Add-on pouches", "Bolsas adicionales"),
            self.say("Minutes", "Minutos"),
        )
        table = Matrix(
            title=self.say("From procedure to set", "Del procedimiento al set"),
            head=head,
            rows=(
                row(
                    self.say("Bonding", "Cementado de brackets"), "55", self.say("Bonding pouch", "Bolsa de cementado")
                ),
                row(self.say("Wire change", "Cambio de arco"), "30", ""),
                row(AWKWARD, "20", self.say("Removal pouch", "Bolsa de retirada")),
            ),
            numbers=(3,),
        )
        bars = "".join(
            f'<rect x="{5 + 14 * n}" y="{60 - 5 * v}" width="10" height="{5 * v}" fill="#595959"/>'
            for n, v in enumerate((3, 5, 8, 9, 6, 7, 4, 2))
        )
        chart = Chart(
            title=self.say("Sets out of the store", "Sets fuera del almacén"),
            picture=svg("chart", 120, 64, bars),
            summary=self.say(
                "At most 9 basic sets are out, at 11:00.", "Como máximo hay 9 sets básicos fuera, a las 11:00."
            ),
            table=Matrix(
                head=(self.say("Hour", "Hora"), self.say("Sets", "Sets")),
                rows=tuple((Cell(text=f"{8 + n}:00"), Cell(text=str(v))) for n, v in enumerate((3, 5, 8, 9))),
                numbers=(1,),
            ),
        )
        return Card(
            id="map",
            kind="map",
            form="sheet",
            title=self.say("Procedure map", "Mapa de procedimientos"),
            section=self.say("Start here", "Empiece aquí"),
            front=(table, chart),
        )

    def house_rules(self) -> Card:
        def words(*spans: Span) -> Paragraph:
            return Paragraph(spans=spans)

        say = self.say
        blocks: tuple[Block, ...] = (
            Prose(
                parts=(
                    words(
                        Span(text=say("Read ", "Lea ")),
                        Span(text=say("the first day", "el primer día"), href="#first-day"),
                        Span(text=say(" first, then ", " primero y luego ")),
                        Span(text=say("always", "siempre"), strong=True),
                        Span(text=" "),
                        Span(text=say("ask", "pregunte"), strong=True, emphasis=True),
                        Span(text=". "),
                        Span(text=say("Public guidance", "Guía pública"), href="https://guidance.example/steam"),
                        Span(text=" "),
                        Span(text=say("not a link", "no es un enlace"), href="javascript:alert(1)", emphasis=True),
                    ),
                    Heading(text=say("At the bench", "En la mesa")),
                    Listing(
                        ordered=True,
                        items=(
                            (words(Span(text=say("Wipe cement off.", "Limpie el cemento."))),),
                            (
                                words(Span(text=say("Close it.", "Ciérrelo."))),
                                Listing(items=((words(Span(text=say("Nothing loose.", "Nada suelto."))),),)),
                            ),
                        ),
                    ),
                    Heading(text=say("Strips of tape", "Tiras de cinta"), level=3),
                    Matrix(
                        head=(say("Pack", "Paquete"), say("Strips", "Tiras")),
                        rows=((Cell(text="BAS"), Cell(text="3")),),
                    ),
                )
            ),
            Heading(text=say("And the chairs", "Y los sillones")),
            self.band("orange"),
            Band(word="BAS", name=say("Basic set", "Set básico")),
        )
        return Card(
            id="page/house-rules",
            kind="page",
            form="sheet",
            title=say("House rules", "Reglas de la casa"),
            section=say("Start here", "Empiece aquí"),
            front=blocks,
        )

    def lookup(self, card_id: str, kind: CardKind, title: str, *blocks: Block) -> Card:
        return Card(
            id=card_id, kind=kind, form="page", title=title, section=self.say("Look up", "Buscar"), front=blocks
        )

    def by_picture(self) -> Card:
        hook = self.say("Hook-crimping plier", "Alicate para ganchos")
        tiles = (
            Item(id="hook", name=hook, detail="138 mm", pictures=(tip("hook-crimping-plier"),), link="i/hook-crimper"),
        )
        pliers = Items(title=self.say("Pliers", "Pinzas de ortodoncia"), items=tiles)
        return self.lookup("by-picture", "pictures", self.say("Find by picture", "Buscar por imagen"), pliers)

    def instrument(self) -> Card:
        places = Items(
            title=self.say("Place in the sets", "Su lugar en los sets"),
            items=(Item(id="core", name=self.say("Basic set", "Set básico"), detail="BAS", link="set/core"),),
        )
        return self.lookup(
            "i/hook-crimper",
            "instrument",
            self.say("Hook-crimping plier", "Alicate para ganchos"),
            Illustration(picture=tip("hook-crimping-plier"), caption=self.say("The working end.", "La punta.")),
            places,
        )

    def procedures(self) -> Card:
        row = Item(id="debonding", name=self.say("Debonding", "Retiro de brackets"), link="d/debonding")
        return self.lookup(
            "procedures", "procedures", self.say("Find by procedure", "Buscar por procedimiento"), Items(items=(row,))
        )

    def procedure(self) -> Card:
        core = Item(id="core", name=self.say("Basic set", "Set básico"), detail="BAS", link="set/core")
        kinds: tuple[DrawingKind, ...] = (
            "mouth-mirror",
            "explorer",
            "scaler",
            "cotton-plier",
            "bracket-holder",
            "scissors",
        )
        inside = Item(
            id="contents",
            name=self.say("6 pieces in it", "6 piezas dentro"),
            pictures=tuple(tip(kind) for kind in kinds),
            link="set/core",
        )
        return self.lookup(
            "d/debonding",
            "procedure",
            self.say("Debonding", "Retiro de brackets"),
            Items(title=self.say("The set", "El set"), items=(core, inside)),
            Facts(facts=(Fact(label=self.say("Time booked", "Tiempo reservado"), value="60 min"),)),
        )

    def spore_test(self) -> Card:
        say = self.say
        log = FormGrid(
            title=say("Spore-test log", "Registro de pruebas de esporas"),
            columns=(
                say("Date", "Fecha"),
                say("Sterilizer", "Esterilizador"),
                say("Load", "Carga"),
                say("Result", "Resultado"),
            ),
            widths=(1, 2, 1, 1),
            rows=12,
            fields=(say("Month", "Mes"), say("Lot of the control", "Lote del control")),
        )
        return Card(
            id="spore-test",
            kind="spore-test",
            form="sheet",
            title=say("Spore test", "Prueba de esporas"),
            section=say("Audit", "Auditoría"),
            front=(log,),
        )
