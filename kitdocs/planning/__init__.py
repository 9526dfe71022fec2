"""What follows from a practice: every figure with its reason, gathered in a `Plan`."""
