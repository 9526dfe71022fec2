"""The practice folder: its nouns, its reader, its rules."""
