"""Cards, blocks and the other parts that any handbook is made of."""
