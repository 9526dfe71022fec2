"""Pieces to own, buy and use up, the best place for an instrument, and the savings of the change."""
