"""The practice folder: its records, its reader, its rules."""
