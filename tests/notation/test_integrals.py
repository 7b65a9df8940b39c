"""Integrals and functions of x: what they come to is read, what they are along x is words."""

import pytest

from verifier.notation import read_working
from verifier.notation.tree import Names, Prose

NAMES = Names(joints=frozenset("AB"), bodies=frozenset({"arm"}), units=("kN", "m"))


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("∫₀³ w dx = 5(3 − 1.5) = 7.5 kN", "5·(3 − 1.5) = 7.5 kN"),
        ("R = ∫₀³ w dx = 7.5 kN", "R = 7.5 kN"),
        ("R = ∫ w x/6 dx from 0 to 3 = 12 kN", "R = 12 kN"),
    ],
)
def test_an_integral_is_read_by_what_it_comes_to(written: str, meant: str) -> None:
    assert read_working(written, NAMES)[0].reads_as == meant


@pytest.mark.parametrize("written", ["w(x) = 5(1 − x/3) kN/m", "M = ∫ x w dx"])
def test_what_holds_along_x_is_words(written: str) -> None:
    line = read_working(written, NAMES)[0]
    assert all(isinstance(part, Prose) for part in line.parts), line.parts
    assert line.text == written
