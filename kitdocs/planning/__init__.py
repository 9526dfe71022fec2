"""Figures of a practice, each with its reason, gathered in a `Plan`."""
