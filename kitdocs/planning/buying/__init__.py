"""What to own, buy and use up, where an instrument is best kept, and what the change saves."""
