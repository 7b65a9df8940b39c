r"""Formulas as people build them up: powers of groups, roots over fractions, fractions in sums.

They mean nothing: names, figures and signs are drawn at random, as in `language.py`, whose markup
this is. Depth is what counts here, for it is what layouts differ in: a fraction beside a term, a
fraction's part with a root, an index and a power on one name, a fraction within a fraction.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from verifier.reading.training.language import Speaker

LETTERS = "abcdefghijklmnopqrstuvwxyzabxynkABCDEFGHIKLMNPQRSTUVWXYZθαβφγδλμπσωΔ"
_RELATIONS = "=====≈<>≤≥→⇒≠"


def laid(s: Speaker) -> str:
    """Return a formula, or an equation of two or three of them."""
    text = _sum(s, 2, s.rng.choice([1, 2, 2, 3]))
    if s.maybe(0.35):
        text = f"{_atom(s)}={text}"
    while s.maybe(0.35):
        text += s.pick(_RELATIONS) + _sum(s, 2, s.rng.choice([1, 1, 2]))
    return text


def fractions(s: Speaker) -> str:
    """Return a fraction that holds another, at times beside other terms."""
    inner = f"\\f{{{_short(s)}}}{{{_short(s)}}}"
    inner = s.pick([inner, inner, inner + _atom(s), _atom(s) + inner,
                    _atom(s) + s.pick("+-") + inner, inner + s.pick("+-") + _atom(s)])  # fmt: skip
    other = s.pick([s.number(), _short(s), _atom(s), _row(s, 0, 2)])
    pair = (inner, other) if s.maybe(0.5) else (other, inner)
    text = f"\\f{{{pair[0]}}}{{{pair[1]}}}"
    if s.maybe(0.4):
        text = s.pick([text + s.pick("+-=") + _atom(s), _atom(s) + s.pick("+-=·") + text])
    return f"{s.name()}={text}" if s.maybe(0.5) else text


def _short(s: Speaker) -> str:
    """Return one to three signs."""
    r = s.rng
    return r.choice([str(r.randint(1, 9)), str(r.randint(1, 99)), s.pick(LETTERS), s.name(),
                     str(r.randint(2, 9)) + s.pick(LETTERS), s.number()])  # fmt: skip


def _index(s: Speaker) -> str:
    r = s.rng
    return r.choice([s.pick(LETTERS), s.pick(LETTERS), str(r.randint(0, 12)), s.joint() + s.joint(),
                     s.pick("ijkn") + s.pick("+-") + s.pick("123k"), s.pick("ij") + s.pick("jk"),
                     s.pick("ijn") + "=" + s.pick("01")])  # fmt: skip


def _power(s: Speaker) -> str:
    r = s.rng
    return r.choice(["2", "2", str(r.randint(0, 9)), str(r.randint(3, 9)), s.pick("n4k"), "-1",
                     "-" + str(r.randint(2, 12)), str(r.randint(10, 99)),
                     s.pick(LETTERS) + s.pick("+-") + s.pick("12n"), f"1/{r.randint(2, 4)}",
                     str(r.randint(2, 12)) + s.pick(LETTERS), s.pick(LETTERS)])  # fmt: skip


def _atom(s: Speaker) -> str:
    """Return a figure or a letter, at times with an index, a power or both."""
    roll = s.rng.random()
    if roll < 0.22:
        return s.number() if s.maybe(0.6) else str(s.rng.randint(1, 99))
    if roll < 0.32:
        return s.name()
    base = s.pick(LETTERS)
    if roll < 0.5:
        return base + s.pick(["", "", s.pick(LETTERS)])
    if roll < 0.66:
        return f"{base}_{{{_index(s)}}}"
    if roll < 0.84:
        return f"{s.pick([base, base, '10', str(s.rng.randint(2, 99))])}^{{{_power(s)}}}"
    if roll < 0.93:
        return f"{base}_{{{_index(s)}}}^{{{_power(s)}}}"
    return s.pick(["sin", "cos", "tan", "log", "ln", "lim", "exp"]) + s.pick(
        ["", "^{2}", "^{-1}"]
    ) + s.pick([s.pick(LETTERS), f"({s.pick(LETTERS)})", s.angle()])  # fmt: skip


def _row(s: Speaker, depth: int, most: int) -> str:
    """Return factors side by side."""
    text = ""
    for _ in range(s.rng.randint(1, most)):
        if text:
            text += s.pick(["", "", "", "·", "×", "/"])
        text += _factor(s, depth)
    return text


def _factor(s: Speaker, depth: int) -> str:
    roll = s.rng.random()
    if not depth or roll < 0.45:
        return _atom(s)
    if roll < 0.68:
        deeper = depth - 1 if s.maybe(0.12) else 0
        top, low = (s.pick([_short(s), _sum(s, 0, 2), _deep(s, deeper)]) for _ in range(2))
        return f"\\f{{{top}}}{{{low}}}"
    if roll < 0.82:
        inner = _sum(s, depth - 1, s.rng.choice([1, 1, 2]))
        return f"\\r{{{inner}}}"
    held = _sum(s, depth - 1, 2)
    group = s.pick(["({})", "({})", "({})", "[{}]", "|{}|"]).format(held)
    return group + (f"^{{{_power(s)}}}" if s.maybe(0.5) else "")


def _deep(s: Speaker, depth: int) -> str:
    """Return a fraction's part: a root, a group's power, or at times another fraction."""
    if depth:
        return _row(s, depth, 1)
    return s.pick([f"\\r{{{_sum(s, 0, 2)}}}", f"\\r{{{_short(s)}}}", _row(s, 0, 2),
                   f"({_sum(s, 0, 2)})^{{{_power(s)}}}",
                   f"{_atom(s)}({_sum(s, 0, 2)})"])  # fmt: skip


def _sum(s: Speaker, depth: int, most: int) -> str:
    text = s.pick(["", "", "", "-"])
    for at in range(most):
        if at:
            text += s.pick("+-+-+-+-=±")
        text += _row(s, depth, s.rng.choice([1, 1, 2]))
    return text
