"""The cards of the handbook, one function each: of the chairs, the sets, the room, the first day."""
