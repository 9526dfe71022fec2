"""The life of a card: what was printed, what is different now, and what has to be exchanged."""
