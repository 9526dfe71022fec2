"""The planning report for adviser and owner: one module a section, each with its cards of plain blocks."""
