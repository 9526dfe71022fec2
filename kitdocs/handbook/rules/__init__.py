"""The rules of the work: each one a record with its sources, quoted by every card that needs it."""
