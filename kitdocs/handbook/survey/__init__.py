"""Survey sheets for the adviser's first visit, blank or filled in from a practice folder."""
