"""What the commands need beyond the library: words for a terminal, and JSON for another program."""
