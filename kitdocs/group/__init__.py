"""Several practices below one folder: each worked out by itself, then compared, and what they can do for each other."""
