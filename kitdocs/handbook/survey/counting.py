"""Survey sheets for counting: stock on hand, and a tally that stays with the team."""

from __future__ import annotations

from kitdocs.document.blocks import Cell
from kitdocs.document.card import Card
from kitdocs.handbook.pictures import tip_picture
from kitdocs.handbook.survey.visit import SurveyBrief, cells, millimetres, ruled
from kitdocs.practice.values import clock_text


def count_sheet(visit: SurveyBrief) -> Card:
    """Return the stock sheet: each instrument with its measures, counts and price."""
    given: list[tuple[Cell, ...]] = []
    if visit.practice:
        stock = visit.practice.stock
        for i, record in visit.practice.instruments.items():
            counted = (stock[i].on_hand, stock[i].in_repair) if i in stock else ("", "")
            named = Cell(text=visit.say(record.name), picture=tip_picture(record.drawing))
            measures = (millimetres(record.length), millimetres(record.width))
            given.append((named, *cells(*measures, *counted, "" if record.price is None else f"{record.price:.2f}")))
    columns = visit.columns("count", "instrument", "length", "width", "on-hand", "in-repair", "price")
    grid = ruled(columns, (55, 20, 20, 18, 24, 18, 29), given, more=3)
    return visit.card("count", ["instruments.yaml", "stock.csv"], grid)


def tally_sheet(visit: SurveyBrief) -> Card:
    """Return the tally sheet: walks, gloves, loose instruments and minutes, one row per hour."""
    given: list[tuple[Cell, ...]] = []
    if visit.practice:
        day = visit.practice.settings.day
        given = [cells(clock_text(hour), "") for hour in range(day.opens // 60 * 60, day.closes, 60)]
    columns = visit.columns("tally", "hour", "walks", "gloves", "loose", "minutes")
    return visit.card("tally", ["practice.yaml"], ruled(columns, (16, 34, 34, 34, 30, 29), given, more=3))
