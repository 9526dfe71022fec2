"""Quantities as people write them, against worked values, CLDR's forms (babel) and ISO 8601 (the standard library)."""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import suppress
from decimal import Decimal
from pathlib import Path
from typing import Any, Literal

import pytest
from babel import Locale, localedata
from babel.dates import format_time
from babel.numbers import format_currency, format_decimal, format_percent, get_currency_symbol, get_territory_currencies
from babel.units import format_unit
from bad_inputs import VALID
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from pydantic import TypeAdapter

from kitdocs.practice import quantities, spellings, values
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.reading.yaml_file import plain
from kitdocs.starter import start

README = Path(__file__).parents[2] / "README.md"

#: By kind: what reads it, its schema, and each spelling with its value in mm, minutes, days, shares, °C or money.
KINDS: dict[str, tuple[Callable[[Any], Any], spellings.Spellings, dict[Any, Any]]] = {
    "length": (
        quantities.length,
        spellings.LENGTHS,
        {
            **dict.fromkeys(
                [
                    '6.5"',
                    "6 1/2 in",
                    "6½ in",
                    "6 ½ in",
                    "6-1/2 in",
                    "6,5 in",
                    "6.5 inches",
                    "6.5in.",
                    "16,51 cm",
                    "6½″",
                    "165.1mm",
                    "165,1 MM",
                    "6 1⁄2 Inches",
                    "6.50''",
                    "6,5 pulgadas",
                    "16.51 centímetros",
                    '6.5 "',
                    "6½”",
                ],
                165.1,
            ),
            "5' 6\"": 1676.4,
            "5 ft 6 in": 1676.4,
            "1 ft and 6 in": 457.2,
            "5 pies 6 pulg": 1676.4,
            "½ in": 12.7,
            "1/32 in": 0.7938,
            ".5 in": 12.7,
            "0,125 in": 3.175,
            "1,2345 m": 1234.5,
            "1234,567 mm": 1234.567,
            "1,234.5 mm": 1234.5,
            "1.234,5 mm": 1234.5,
            "1.500 mm": 1.5,
            "2 m 50 cm": 2500,
            "0 mm": 0,
        },
    ),
    "shift": (values.shift, spellings.SHIFTS, {"-0,5 mm": -0.5, "−0.5 mm": -0.5, "- 1/32 in": -0.7938, "0 mm": 0}),
    "duration": (
        quantities.duration,
        spellings.DURATIONS,
        {
            **dict.fromkeys(
                [
                    "75 min",
                    "1 h 15",
                    "1h15",
                    "1h15m",
                    "1 h 15 min",
                    "1 hour and 15 minutes",
                    "1 hr 15 mins",
                    "75 Minutes",
                    "1,25 h",
                    "1 1/4 h",
                    "1¼ h",
                    "1 hora y 15 minutos",
                    "PT1H15M",
                    "PT75M",
                    "1:15 h",
                    "1:15:00",
                    "75 min.",
                ],
                75,
            ),
            "90 s": 1.5,
            "90 seconds": 1.5,
            "45 minutos": 45,
            "45 m": 45,
            "1 min 30 s": 1.5,
            "0:00:30": 0.5,
        },
    ),
    "days": (
        quantities.days,
        spellings.DAY_COUNTS,
        {"10 days": 10, "1 d": 1, "2 wk": 14, "2 semanas": 14, "1 Week": 7},
    ),
    "period": (
        quantities.period,
        spellings.PERIODS,
        {
            "1 week": (1, "week"),
            "weekly": (1, "week"),
            "Daily": (1, "day"),
            "2 wks": (2, "week"),
            "6 meses": (6, "month"),
            "3 yrs": (3, "year"),
        },
    ),
    "share": (
        quantities.share,
        spellings.SHARES,
        {
            **dict.fromkeys(
                ["12.5%", "12,5 %", 0.125, "0,125", "12.5 percent", "12½%", "12,5 por ciento", "1/8"], 0.125
            ),
            "always": 1,
            "Always": 1,
            "100%": 1,
            "½": 0.5,
            0.15: 0.15,
            "15 %": 0.15,
            "0.15%": 0.0015,
        },
    ),
    "share or none": (
        quantities.share_or_none,
        spellings.SHARES_OR_NONE,
        {
            "12%": 0.12,
            0.12: 0.12,
            "always": 1,
            **dict.fromkeys(["0%", "0 %", "0.0%", "0", 0, 0.0, "never", "Never"], 0),
        },
    ),
    "clock": (
        quantities.clock,
        spellings.CLOCKS,
        {
            **dict.fromkeys(
                [
                    "8:50",
                    "08:50",
                    "8:50 AM",
                    "8.50 am",
                    "8:50am",
                    "8:50 a. m.",
                    "8:50 a.m.",
                    "8h50",
                    "8 h 50",
                    "8:50 h",
                    "0850",
                    "T08:50",
                    "08:50:00",
                    "8:50\u202fAM",
                ],
                530,
            ),
            **dict.fromkeys(["17:30", "5:30 PM", "5.30 p.m.", 1730, "1730"], 1050),
            "8 am": 480,
            "8 h": 480,
            "12:30 AM": 30,
            "12 pm": 720,
            "noon": 720,
        },
    ),
    "temperature": (
        quantities.temperature,
        spellings.TEMPERATURES,
        {
            **dict.fromkeys(["132 C", "132 °C", "132ºC", "132 c", "132℃", "132,0 °C", "132 grados Celsius"], 132),
            "270 F": 132.2,
        },
    ),
    "money": (
        quantities.money,
        spellings.PRICES,
        {
            **dict.fromkeys(
                [12.5, "12,50", "$12.50", "12,50 €", "€ 12,50", "USD 12.50", "12.50 USD", "US$12.50", "12,5"],
                Decimal("12.5"),
            ),
            "$1,234.50": Decimal("1234.5"),
            "1.234,50 €": Decimal("1234.5"),
            "1,234,567": 1234567,
            0: 0,
        },
    ),
    "number": (quantities.number, spellings.NUMBERS, {16: 16, 2.5: 2.5, "2,5": 2.5, "2½": 2.5, "2 1/2": 2.5}),
}
SPELLED = [(kind, spelling, value) for kind, (_, _, table) in KINDS.items() for spelling, value in table.items()]

LENGTH, DURATION = "'8 in', '203 mm' or '20 cm'", "'55 min', '90 s' or '1 h 10 min'"
ONE = "; write the one that you mean"
PLAIN = "is not a plain number; the currency is given in practice.yaml"
REFUSED = [
    ("length", "1,234 mm", f"'1,234 mm' can mean '1234 mm' or '1.234 mm'{ONE}"),
    ("length", "6,5", f"6,5 needs a unit, as in {LENGTH}"),
    ("length", 6.5, f"6.5 needs a unit, as in {LENGTH}"),
    ("length", "6 3/2 in", f"'6 3/2 in' must be written as in {LENGTH}"),
    ("length", "61/2 in", f"'61/2 in' must be written as in {LENGTH}"),
    ("length", "6 to 7 in", f"'6 to 7 in' must be written as in {LENGTH}"),
    ("length", "6 x 4 in", f"'6 x 4 in' must be written as in {LENGTH}"),
    ("length", "6 in 4 in", f"'6 in 4 in' must be written as in {LENGTH}"),
    ("length", "6 2 in", f"'6 2 in' must be written as in {LENGTH}"),
    ("length", "145 kg", f"'145 kg' must be written as in {LENGTH}"),
    ("length", "1.2.3 in", f"'1.2.3 in' must be written as in {LENGTH}"),
    ("length", "", f"'' must be written as in {LENGTH}"),
    ("length", "-6 in", "'-6 in' is below zero"),
    ("length", "99999 m", "'99999 m' is too large"),
    ("length", True, f"'True' must be written as in {LENGTH}"),
    ("shift", "11 mm", "'11 mm' is more than a printer can be off (10 mm); check the measures"),
    ("duration", "1:15", f"'1:15' can mean '1 h 15 min' or '1 min 15 s'{ONE}"),
    ("duration", "0:45", f"'0:45' can mean '45 min' or '45 s'{ONE}"),
    ("duration", 30, f"30 needs a unit, as in {DURATION}"),
    ("duration", "1 h 75", f"'1 h 75' must be written as in {DURATION}"),
    ("duration", "1 h 15 30 s", f"'1 h 15 30 s' must be written as in {DURATION}"),
    ("duration", "1.5 h 10", f"'1.5 h 10' must be written as in {DURATION}"),
    ("duration", "15 min 30", f"'15 min 30' must be written as in {DURATION}"),
    ("duration", "15 min 1 h", f"'15 min 1 h' must be written as in {DURATION}"),
    ("days", 7, "7 needs a unit, as in '10 days' or '2 weeks'"),
    ("period", "biweekly", "'biweekly' must be written as in '1 day', '2 weeks', '6 months' or '3 years'"),
    ("period", "week", "'week' must be written as in '1 day', '2 weeks', '6 months' or '3 years'"),
    ("share", 1, f"'1' can mean '100%' or '1%'{ONE}"),
    ("share", 15, "'15' has no percent sign; write '15%'"),
    ("share", "12,5", "'12,5' has no percent sign; write '12.5%'"),
    ("share", "120 %", "'120 %' is not a possible share (above 0%, up to 100%)"),
    ("share", 0, "'0' is not a possible share (above 0%, up to 100%)"),
    ("share", "-5%", "'-5%' is not a possible share (above 0%, up to 100%)"),
    ("share", "often", "'often' must be written as in '12%' or 'always'"),
    ("clock", 8, f"'8' can mean '08:00' or '20:00'{ONE}"),
    ("clock", 17, "'17' is not a time of day; write '17:00'"),
    ("clock", 850, "'850' is not a time of day; write '08:50'"),
    ("clock", 8.5, f"'8.5' can mean '08:50' or '08:30'{ONE}"),
    ("clock", "8.30", f"'8.30' can mean '08:30' or '08:18'{ONE}"),
    ("clock", 8.75, "'8.75' is not a time of day; write '08:45'"),
    ("clock", "13:30 PM", "'13:30 PM' is not a time of day; write '13:30'"),
    ("clock", "0:30 am", "'0:30 am' is not a time of day; write '00:30'"),
    ("clock", "8:61", "'8:61' is not a time of day, such as '08:30' or '17:30'"),
    ("clock", "8:50:30", "'8:50:30' is not a time of day, such as '08:30' or '17:30'"),
    ("clock", "24:00", "'24:00' is not a time of day, such as '08:30' or '17:30'"),
    ("temperature", "132", "132 needs a unit, as in '132 C' or '270 F'"),
    ("money", "$1,234", f"'$1,234' can mean '$1234' or '$1.2340'{ONE}"),
    ("money", "1.234 €", f"'1.234 €' can mean '1234 €' or '1.2340 €'{ONE}"),
    ("money", "12 each", f"'12 each' {PLAIN}"),
    ("money", "$12 USD", f"'$12 USD' {PLAIN}"),
    ("money", "-0", "'-0' is not a price (0 or more)"),
    ("money", "-$5", "'-$5' is not a price (0 or more)"),
    ("number", "1,234", f"'1,234' can mean '1234' or '1.234'{ONE}"),
]


@pytest.mark.parametrize(("kind", "spelling", "value"), SPELLED)
def test_a_spelling_is_read_as_what_it_can_only_mean(kind: str, spelling: Any, value: Any) -> None:
    read, _, _ = KINDS[kind]
    assert read(spelling) == value


@pytest.mark.parametrize(("kind", "spelling", "told"), REFUSED)
def test_what_can_mean_two_things_is_refused_with_what_to_write(kind: str, spelling: Any, told: str) -> None:
    with pytest.raises(ValueError) as caught:
        KINDS[kind][0](spelling)
    assert str(caught.value) == told


@pytest.mark.parametrize(
    ("kind", "spelling", "told"), [case for case in REFUSED if ONE in case[2] or "; write '" in case[2]]
)
def test_a_correction_is_itself_read(kind: str, spelling: Any, told: str) -> None:
    for correction in re.findall(r"'([^']*)'", told)[1:]:
        KINDS[kind][0](correction)


@pytest.mark.parametrize(("kind", "spelling", "value"), SPELLED)
def test_an_editor_lets_every_spelling_pass(kind: str, spelling: Any, value: Any) -> None:
    schema = KINDS[kind][1].schema
    assert Draft202012Validator(schema).is_valid(spelling), spelling


@pytest.mark.parametrize("kind", KINDS)
def test_each_example_that_an_editor_shows_is_read(kind: str) -> None:
    read, spelled, _ = KINDS[kind]
    assert [read(example) for example in spelled.examples]
    # An escape that only Python knows would stop an editor: ECMA-262 allows none of a space, a quote or a letter.
    assert not re.search(r"\\[^\W_dswSDW]|\\[ '\"%-]", str(spelled.schema).replace("\\\\", "\\").replace("\\'", "'"))


LOCALES = ("en_US", "en_GB", "es_ES", "es_MX", "es_US", "de_DE", "fr_FR")


@pytest.mark.parametrize("locale", LOCALES)
def test_a_time_is_read_as_cldr_writes_it(locale: str) -> None:
    for minutes in range(0, 24 * 60, 7):
        time = datetime.time(minutes // 60, minutes % 60)
        assert quantities.clock(format_time(time, "short", locale=locale)) == minutes


@pytest.mark.parametrize("locale", ["en_US", "es_ES", "es_MX"])
@pytest.mark.parametrize(
    ("kind", "unit", "size"),
    [
        ("length", "length-inch", 25.4),
        ("length", "length-foot", 304.8),
        ("length", "length-centimeter", 10),
        ("length", "length-millimeter", 1),
        ("length", "length-meter", 1000),
        ("duration", "duration-hour", 60),
        ("duration", "duration-minute", 1),
        ("days", "duration-day", 1),
        ("days", "duration-week", 7),
        ("temperature", "temperature-celsius", 1),
    ],
)
def test_a_unit_is_read_as_cldr_writes_it(kind: str, unit: str, size: float, locale: str) -> None:
    widths: tuple[Literal["long", "short", "narrow"], ...] = ("long", "short", "narrow")
    for width in widths[: 2 if kind == "temperature" else 3]:  # the narrow form of a temperature has no unit
        for number in (1, 2, 6.5, 45):
            written = format_unit(number, unit, length=width, locale=locale)
            assert KINDS[kind][0](written) == pytest.approx(number * size), written


@given(st.decimals(min_value=0, max_value=99999, places=2), st.sampled_from(["en_US", "es_ES", "es_MX", "de_DE"]))
def test_a_number_is_read_as_cldr_writes_it(number: Decimal, locale: str) -> None:
    currency = {"en_US": "USD", "es_MX": "MXN"}.get(locale, "EUR")
    assert quantities.money(format_currency(number, currency, locale=locale), currency) == number
    if number < 100 and number:
        written = format_percent(number / 100, "#,##0.##%", locale=locale)
        assert quantities.share(written) == pytest.approx(float(number / 100)), written
    text = format_decimal(number, locale=locale)
    if re.fullmatch(r"\d{1,3},\d{3}", text):
        with pytest.raises(ValueError, match="can mean"):
            quantities.length(f"{text} mm")
    elif not re.fullmatch(r"\d{1,3}\.\d{3}", text):
        assert quantities.length(f"{text} mm") == float(number)


def test_each_sign_of_money_stands_for_currencies_that_cldr_writes_with_it() -> None:
    written: dict[str, set[str]] = {}
    for locale in map(Locale.parse, localedata.locale_identifiers()):
        for currency in get_territory_currencies(locale.territory) if locale.territory else ():
            symbol = unicodedata.normalize("NFKC", get_currency_symbol(currency, locale))  # some write a wide ¥
            written.setdefault(symbol, set()).add(currency)
    for sign, currencies in quantities.SIGNS.items():
        assert currencies <= written[sign], sign
    assert {"USD", "MXN", "CAD", "COP", "ARS", "CLP"} <= quantities.SIGNS["$"]


@given(st.times())
def test_a_time_is_read_as_iso_8601_writes_it(time: datetime.time) -> None:
    minutes = time.hour * 60 + time.minute
    for form in ("%H:%M", "%H%M", "T%H:%M", "T%H%M", "%H:%M:00"):
        assert quantities.clock(plain(time.strftime(form)) if form == "%H:%M" else time.strftime(form)) == minutes


@given(st.integers(1, 24 * 3600 - 1))
def test_a_duration_is_read_as_iso_8601_writes_it(seconds: int) -> None:
    written = TypeAdapter(datetime.timedelta).dump_json(datetime.timedelta(seconds=seconds)).decode().strip('"')
    assert quantities.duration(written) == pytest.approx(seconds / 60, abs=1e-4), written


def _inches(whole: int, over: int, under: int) -> Iterator[str]:
    vulgar = {(1, 2): "½", (1, 4): "¼", (3, 4): "¾", (1, 8): "⅛", (3, 8): "⅜", (5, 8): "⅝", (7, 8): "⅞"}.get(
        (over, under)
    )
    decimal = f"{whole + Decimal(over) / under:f}"
    numbers = [decimal, decimal.replace(".", ",") if not re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", decimal) else decimal]
    numbers += [f"{whole} {over}/{under}", f"{whole}-{over}/{under}", f"{whole} {over}⁄{under}"]
    numbers += [f"{whole}{vulgar}", f"{whole} {vulgar}"] if vulgar else []
    for number in numbers:
        for unit in quantities.LENGTHS[2].names:
            yield from (
                f"{number} {unit}",
                f"{number}{unit}",
                f"{number} {unit.upper()}",
                f"  {number}\u00a0{unit} ",
            )


@given(st.integers(0, 200), st.sampled_from([2, 4, 8, 16, 32]), st.data())
def test_every_spelling_of_a_length_in_inches_is_the_same_length(whole: int, under: int, data: st.DataObject) -> None:
    over = data.draw(st.integers(1, under - 1))
    meant = float(round((whole + Decimal(over) / under) * Decimal("25.4"), 4))
    for written in _inches(whole, over, under):
        assert quantities.length(written) == meant, written
        assert Draft202012Validator(spellings.LENGTHS.schema).is_valid(written), written


@given(st.integers(1, 23), st.integers(1, 59))
def test_every_spelling_of_a_duration_is_the_same_duration(hours: int, minutes: int) -> None:
    meant = hours * 60 + minutes
    every = [f"{meant} {name}" for name in quantities.DURATIONS[1].names]
    every += [
        f"{hours} {h} {minutes} {m}" for h in quantities.DURATIONS[0].names for m in quantities.DURATIONS[1].names
    ]
    every += [f"{hours} h {minutes}", f"{hours}h{minutes:02d}", f"{hours}:{minutes:02d} h", f"{hours}:{minutes:02d}:00"]
    for written in every:
        assert quantities.duration(written) == meant, written
        assert Draft202012Validator(spellings.DURATIONS.schema).is_valid(written), written


@given(st.integers(0, 24 * 60 - 1))
def test_every_spelling_of_a_time_is_the_same_time(minutes: int) -> None:
    hour, minute = divmod(minutes, 60)
    half, twelve = "ap"[hour >= 12], hour % 12 or 12
    every = [f"{hour}:{minute:02d}", f"{hour:02d}:{minute:02d}", f"{hour}h{minute:02d}", f"{hour:02d}{minute:02d}"]
    every += [
        f"{twelve}{sign}{minute:02d}{blank}{written}"
        for sign in ":.h"
        for blank in ("", " ", "\u202f")
        for written in (f"{half}m", f"{half.upper()}M", f"{half}.m.", f"{half}. m.")
    ]
    for written in every:
        assert quantities.clock(written) == minutes, written
        assert Draft202012Validator(spellings.CLOCKS.schema).is_valid(written), written


@given(st.integers(1, 9999))
def test_every_spelling_of_a_share_is_the_same_share(hundredths: int) -> None:
    percent = Decimal(hundredths) / 100
    comma = str(percent).replace(".", ",")
    part = f"{percent / 100:f}"
    assert {
        quantities.share(written)
        for written in (
            f"{percent}%",
            f"{percent} %",
            f"{comma}%",
            f"{comma} percent",
            float(part),
            part,
            part.replace(".", ","),
        )
    } == {float(percent / 100)}


@given(st.text())
def test_no_text_makes_a_reader_fail_in_another_way(text: str) -> None:
    for read, _, _ in KINDS.values():
        with suppress(ValueError):
            read(text)


@given(st.text(alphabet="0123456789.,/½¼ -'\"hminftscm:pa%$€", max_size=14))
def test_what_is_read_is_finite_and_the_schema_knows_it(text: str) -> None:
    for kind, (read, spelled, _) in KINDS.items():
        with suppress(ValueError):
            if read(text) != text:
                assert Draft202012Validator(spelled.schema).is_valid(text), (kind, text)


@pytest.mark.parametrize(
    ("currency", "price", "told"),
    [
        ("USD", "$48", ""),
        ("MXN", "$48", ""),
        ("EUR", "48 €", ""),
        ("EUR", "EUR 48", ""),
        ("EUR", "$48", "'$48' is not in EUR, the currency of practice.yaml"),
        ("USD", "48 CAD", "'48 CAD' is not in USD, the currency of practice.yaml"),
        ("CAD", "US$48", "'US$48' is not in CAD, the currency of practice.yaml"),
    ],
)
def test_a_price_names_no_other_currency_than_the_practice(currency: str, price: str, told: str) -> None:
    changes = {"practice.currency": currency, "instruments.weingart.price": price}
    if not told:
        assert read_practice(VALID, changes).instruments["weingart"].price == 48
        return
    with pytest.raises(PracticeError) as caught:
        read_practice(VALID, changes)
    (problem,) = caught.value.problems
    assert str(problem.message) == told
    assert str(problem.remedy) == f"write every price in {currency}"


README_NAMES = {"time of day": "clock", "price": "money"}


def test_every_spelling_in_the_readme_is_read() -> None:
    lines = README.read_text(encoding="utf-8").partition("any of these |\n")[2].partition("\n\n")[0].splitlines()
    found = []
    for name, spelled in (line.strip("| ").split(" | ") for line in lines[1:]):
        for written in re.findall(r"`([^`.]+(?:\.(?!yaml)[^`]*)*)`", spelled):
            kind = "days" if re.search("day|week", written) else README_NAMES.get(name, name)
            KINDS[kind][0](plain(written))
            found.append(written)
    assert len(found) == 36 and found[:2] == ["8 in", '6.5"']


def test_every_spelling_that_start_teaches_is_read(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    text = (tmp_path / "ours" / "practice.yaml").read_text(encoding="utf-8")
    for kind, line in {
        "length": '8 in, 203 mm; 6.5", 6 1/2 in, 6½ in, 6,5 in, 6.5 inches',
        "duration": "55 min, 90 s; 1 h 15, 1:15 h, 45 minutes",
        "days": "10 days; or 2 weeks",
        "share": "12%, always; 12,5 % and 0.125",
        "clock": "08:30; 8:30 AM, 5.30 pm, 8h30",
        "money": "12.50; 12,50 and $12.50 and 12,50 €",
    }.items():
        assert re.search(rf"#.*{re.escape(line).replace(';', '.*')}\b".removesuffix(r"\b"), text), line
        for written in re.split(r"; or |; | and |, ", line):
            KINDS[kind][0](plain(written))
