"""From files to nouns: every value with its place, everything wrong at once."""
