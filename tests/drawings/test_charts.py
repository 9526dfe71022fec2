from __future__ import annotations

import itertools
import re
from xml.etree import ElementTree as ET

import pytest

from kitdocs.drawings.axes import Scale, clock, clock_ticks, key_places, round_ticks
from kitdocs.drawings.charts import (
    BandWords,
    Bar,
    BarSpan,
    DayRow,
    StackRow,
    bars,
    bars_day,
    stacked_bars,
    step_band,
)
from kitdocs.drawings.drawing import Drawing
from kitdocs.drawings.lettering import PT, text_width
from kitdocs.drawings.loads_down import MachineDay, loads_down

WORDS = BandWords(median="half of the days", band="19 of 20 days", stock="14 sets owned")


def texts(drawing: Drawing) -> list[str]:
    return [e.text or "" for e in ET.fromstring(drawing.svg).iter() if e.tag.endswith("text")]


def numbers(drawing: Drawing) -> list[float]:
    return [
        float(n) for n in re.findall(r"-?\d+\.?\d*", " ".join(re.findall(r'(?:d|x|y|width)="([^"]*)"', drawing.svg)))
    ]


CHARTS = {
    "band, no times": lambda: step_band([], [], [], stock=3, words=WORDS),
    "band, one time": lambda: step_band([480], [1], [2], stock=3, words=WORDS),
    "band, large": lambda: step_band([480, 600, 1000], [0, 4e6, 0], [0, 9e6, 0], stock=1e7, words=WORDS),
    "band, nothing out": lambda: step_band([480, 600], [0, 0], [0, 0], stock=0, words=WORDS),
    "day, no machine": lambda: bars_day([], 480, 1080, empty="no machine"),
    "day, no load": lambda: bars_day([DayRow(label="Washer", spans=())], 480, 1080),
    "day, no time": lambda: bars_day([DayRow(label="W", spans=(BarSpan(start=1, end=2),))], 480, 480),
    "stack, no row": lambda: stacked_bars([], [], empty="nothing"),
    "stack, one row": lambda: stacked_bars([StackRow(label="a", values=(1,))], ["b"]),
    "stack, zeros": lambda: stacked_bars([StackRow(label="a", values=(0, 0))], ["b", "c"]),
    "stack, large": lambda: stacked_bars([StackRow(label="a" * 99, values=(1e9,) * 12)], ["part " * 9] * 12),
    "down, no machine": lambda: loads_down([], 480, 1080, width_mm=70, empty="no machine"),
    "down, no load": lambda: loads_down([MachineDay(kind="W", number="", spans=())], 480, 480, width_mm=70),
    "down, many": lambda: loads_down(
        [MachineDay(kind="Steam sterilizer " * 3, number=str(n), spans=(BarSpan(start=1, end=900),)) for n in range(9)],
        480,
        1080,
        width_mm=70,
    ),
    "bars, no row": lambda: bars([], empty="nothing to buy"),
    "bars, one row": lambda: bars([Bar(label="a", value=3)]),
    "bars, zeros": lambda: bars([Bar(label="a", value=0), Bar(label="b", value=0)]),
    "bars, large": lambda: bars([Bar(label="a" * 200, value=1e12, shown="1 000 000 000 000 USD")]),
}


@pytest.mark.parametrize("name", CHARTS)
def test_a_chart_of_any_numbers_is_whole_and_stays_on_its_paper(name: str) -> None:
    drawing = CHARTS[name]()
    assert "nan" not in drawing.svg and "inf" not in drawing.svg
    assert drawing.height_mm > 0
    for element in ET.fromstring(drawing.svg).iter():
        if not element.tag.endswith("text"):
            continue
        words, x = element.text or "", float(element.get("x", "0"))
        wide = text_width(words, float(element.get("font-size", "0")), bold=element.get("font-weight") == "700")
        start = {"start": x, "middle": x - wide / 2, "end": x - wide}[element.get("text-anchor", "start")]
        assert start >= -0.5 and start + wide <= drawing.width_mm + 0.5, words
        assert 0 < float(element.get("y", "0")) <= drawing.height_mm, words


@pytest.mark.parametrize("name", CHARTS)
def test_no_text_on_a_chart_is_smaller_than_7_pt(name: str) -> None:
    sizes = [float(s) for s in re.findall(r'font-size="([\d.]+)"', CHARTS[name]().svg)]
    assert all(size >= 7 * PT - 0.001 for size in sizes)


def test_a_bar_is_as_long_as_its_value() -> None:
    drawing = bars([Bar(label="a", value=10), Bar(label="b", value=30), Bar(label="c", value=20)])
    lengths = [float(w) for w in re.findall(r'<rect [^>]*width="([\d.]+)"', drawing.svg)]
    assert lengths[0] * 3 == pytest.approx(lengths[1], rel=1e-3)
    assert lengths[0] * 2 == pytest.approx(lengths[2], rel=1e-3)


def test_a_load_stands_where_its_times_are() -> None:
    rows = [
        DayRow(
            label="Sterilizer", spans=(BarSpan(start=540, end=600, label="5"), BarSpan(start=660, end=780, label="8"))
        )
    ]
    svg = bars_day(rows, 480, 840).svg
    first, second = (
        (float(x), float(w)) for x, w in re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', svg)
    )
    hour = first[1]
    assert second[1] == pytest.approx(2 * hour, rel=1e-3)
    assert second[0] - first[0] == pytest.approx(2 * hour, rel=1e-3)


def test_a_load_that_began_before_the_chart_is_cut_at_its_edge() -> None:
    rows = [DayRow(label="W", spans=(BarSpan(start=400, end=500), BarSpan(start=100, end=200)))]
    assert bars_day(rows, 480, 840).svg.count("<rect") == 1


def test_the_band_reaches_the_stock_line_when_everything_is_out() -> None:
    svg = step_band([480, 540, 600], [0, 2, 0], [0, 5, 0], stock=5, words=WORDS).svg
    dashed = re.search(r'y1="([\d.]+)"[^>]*stroke-dasharray', svg)
    band = re.search(r'<path d="M([^"]*)"', svg)
    assert dashed and band
    assert min(float(v) for v in re.findall(r"V([\d.]+)", band[1])) == pytest.approx(float(dashed[1]), abs=1e-3)


def test_sequences_of_different_length_are_refused() -> None:
    with pytest.raises(ValueError, match="one median"):
        step_band([480, 540], [1], [2, 3], stock=3, words=WORDS)
    with pytest.raises(ValueError, match="one value for each part"):
        stacked_bars([StackRow(label="a", values=(1, 2))], ["b"])


def test_words_with_signs_that_xml_keeps_for_itself_arrive_whole() -> None:
    odd = "Wire < 0.016 & \"ünï\" 'é'\x0b"
    assert odd.rstrip("\x0b") in texts(bars([Bar(label=odd, value=1, shown=odd)]))


@pytest.mark.parametrize(
    "high, ticks",
    [
        (9, [0, 2, 4, 6, 8, 10]),
        (1, [0, 0.2, 0.4, 0.6, 0.8, 1]),
        (250, [0, 50, 100, 150, 200, 250]),
        (3e6, [0, 1e6, 2e6, 3e6]),
    ],
)
def test_ticks_are_round_and_reach_the_top(high: float, ticks: list[float]) -> None:
    assert round_ticks(high) == pytest.approx(ticks)


def test_whole_things_are_not_counted_in_fractions() -> None:
    assert round_ticks(2, whole=True) == [0, 1, 2]
    assert round_ticks(0, whole=True) == [0, 1]


def test_clock_ticks_fall_on_full_times_and_have_room() -> None:
    assert clock_ticks(470, 1090, 150) == [480, 540, 600, 660, 720, 780, 840, 900, 960, 1020, 1080]
    assert clock_ticks(470, 1090, 40) == [540, 720, 900, 1080]
    assert clock(485) == "8:05" and clock(1500) == "1:00"


def test_a_scale_without_extent_does_not_divide_by_zero() -> None:
    assert Scale(low=5, high=5, start_mm=0, end_mm=10)(5) == 0


def test_words_are_as_wide_in_every_python_whatever_the_order_of_their_letters() -> None:
    # Python 3.12 adds floats otherwise than 3.11; an exact sum is alike in both, and does not ask for the order.
    words = "Peine de colocación, alicate de corte distal y sonda: 1,234.50 USD"
    assert len({text_width(words[n:] + words[:n], 7.3) for n in range(len(words))}) == 1


def test_a_name_too_long_for_one_line_is_whole_in_two() -> None:
    long = "Juego completo para brackets"
    drawing = bars([Bar(label=long, value=4), Bar(label="Juego básico", value=25)], width_mm=80)
    assert texts(drawing)[:2] == ["Juego completo para", "brackets"]
    assert "Juego básico" in texts(drawing)


def test_rows_with_names_of_two_lines_do_not_touch() -> None:
    drawing = bars([Bar(label="Juego completo para brackets", value=4)] * 2, width_mm=80)
    lines = [float(e.get("y", "0")) for e in ET.fromstring(drawing.svg).iter() if e.text and e.text[0].isalpha()]
    assert len(lines) == 4 and lines[2] - lines[1] > lines[1] - lines[0] > 9 * PT


def test_a_name_of_many_lines_is_whole_and_touches_no_other() -> None:
    drawing = bars([Bar(label="para " * 40, value=1), Bar(label="Bracketentfernungszange" * 3, value=2)], width_mm=80)
    assert sum(words.count("para") for words in texts(drawing)) == 40
    assert "".join(texts(drawing)).replace("-", "").count("Bracketentfernungszange") == 3
    lines = [float(e.get("y", "0")) for e in ET.fromstring(drawing.svg).iter() if e.text and e.text[0].isalpha()]
    assert min(after - before for before, after in itertools.pairwise(lines)) > 9 * PT
    assert lines[0] > 0 and lines[-1] < drawing.height_mm


def test_the_parts_of_a_bar_are_named_in_full() -> None:
    parts = ("minutes of packing " * 12, "Sterilisationsüberwachung " * 9, "short")
    drawing = stacked_bars([StackRow(label="a", values=(1, 2, 3))], parts, width_mm=90)
    said = "".join(texts(drawing)).replace(" ", "")
    assert said.count("minutesofpacking") == 12 and said.count("Sterilisationsüberwachung") == 9 and "short" in said
    assert all(text_width(words, 7 * PT) < 90 for words in texts(drawing))


def test_a_key_takes_a_second_line_where_the_first_has_no_room():
    words = ["half of the days", "19 of 20 days"]
    assert len({y for _, y in key_places(words, 5, 170)}) == 1
    (first, above), (second, below) = key_places(words, 5, 40)
    assert (first, second) == (5, 5)
    assert below - above > 7 * PT, "a line of 7 pt has room"


def test_each_load_of_a_day_that_runs_down_is_as_high_as_it_is_long():
    spans = (BarSpan(start=480, end=540, label="4 + 3"), BarSpan(start=600, end=720, label="5 + 2"))
    drawing = loads_down(
        [MachineDay(kind="Washer", number="1", spans=spans), MachineDay(kind="Washer", number="2", spans=spans[:1])],
        480,
        1080,
        width_mm=70,
    )
    boxes = [e for e in ET.fromstring(drawing.svg).iter() if e.tag.endswith("rect")]
    heights = [float(box.get("height", "0")) for box in boxes]
    assert heights[1] == pytest.approx(2 * heights[0])
    assert heights[2] == heights[0]
    assert len({box.get("x") for box in boxes}) == 2, "a column for each machine"
    assert texts(drawing).count("4 + 3") == 2
    assert texts(drawing).count("Washer") == 1
