"""Blocks drawn as pages and as sheets, tables, and the folder that holds them all."""
