"""The sheets that are filled in by hand: logs, sign-off, count."""
