"""What fits what: instruments, cassettes, sheets, pouches, loads, chambers, shelves, and the steam table."""
