"""Measures: instruments in cassettes, sheets, pouches, loads, chambers, shelves, and the steam table."""
