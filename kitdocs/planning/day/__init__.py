"""The busy day: booked, run through the room item by item, and counted."""
