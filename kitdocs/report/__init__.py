"""The planning report for adviser and owner, in English: one module a part, each a card or two of plain blocks."""
