"""How far two readings of a line or word are from each other."""


def distance(a: str, b: str) -> int:
    """Return the number of characters to change, add or leave out (Myers' bit vectors).

    >>> distance("2.5 kN", "25 kN")
    1
    """
    if not a:
        return len(b)
    places: dict[str, int] = {}
    for i, char in enumerate(a):
        places[char] = places.get(char, 0) | (1 << i)
    full, last = (1 << len(a)) - 1, 1 << (len(a) - 1)
    plus, minus, score = full, 0, len(a)
    for char in b:
        eq = places.get(char, 0)
        xv = eq | minus
        xh = (((eq & plus) + plus) ^ plus) | eq
        up, down = minus | ~(xh | plus) & full, plus & xh
        if up & last:
            score += 1
        if down & last:
            score -= 1
        up = ((up << 1) | 1) & full
        plus = ((down << 1) | (~(xv | up) & full)) & full
        minus = up & xv
    return score
