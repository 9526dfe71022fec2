"""Colours that stay apart for every eye, and the ink that is read on them."""

#: Most colours that can be proposed together.
MOST_COLOURS = 16

#: Most chairs that a practice can have.
MOST_CHAIRS = 40
