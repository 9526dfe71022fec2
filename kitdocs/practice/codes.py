"""Short codes of sets and pouches, and which of them eyes and hands take for each other."""

from __future__ import annotations

#: Signs that hands and eyes take for each other. From memory: the pairs that lists of codes avoid
#: (O/0, I/1/L, S/5, B/8, Z/2).
_ALIKE = str.maketrans({"O": "0", "I": "1", "L": "1", "S": "5", "B": "8", "Z": "2"})


def look_alike(code: str, other: str) -> bool:
    """Whether two codes differ only in signs that look alike, or in two neighbouring letters swapped."""
    one, two = code.translate(_ALIKE), other.translate(_ALIKE)
    if one == two:
        return True
    apart = [i for i, (a, b) in enumerate(zip(code, other, strict=False)) if a != b]
    if len(code) != len(other) or len(apart) != 2 or apart[1] != apart[0] + 1:
        return False
    i, j = apart
    return (code[i], code[j]) == (other[j], other[i]) and (code[i] + code[j]).isalpha()
