"""Colours that stay apart for every eye, and the ink that is read on them."""
