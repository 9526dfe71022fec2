"""Words for a terminal and JSON for another program: all that the commands need beyond the library."""
