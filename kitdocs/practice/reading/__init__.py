"""Files read into records: every value keeps its place, and all mistakes are reported at once."""
