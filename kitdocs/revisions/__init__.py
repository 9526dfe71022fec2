"""Life of a printed card: print record, differences from the present edition, and replacement."""
