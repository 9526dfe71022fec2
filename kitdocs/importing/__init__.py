"""Lists, exports and calendars that an office has, read into a practice folder. Nothing about a patient is."""
