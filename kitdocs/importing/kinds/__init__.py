"""Kinds of list that can be brought in, one module each: its `KIND` is found by `recognising`."""
