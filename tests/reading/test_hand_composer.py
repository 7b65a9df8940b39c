"""What the training's generator of language writes, and the tokens it should be read as."""

from random import Random

import pytest

from verifier.reading.hand_beam import Path
from verifier.reading.hand_text import placed, written
from verifier.reading.hand_tokens import tokens
from verifier.reading.training.language import USAGES, Speaker
from verifier.reading.training.markup import Script, Sign, labels, parse


def lines(seed, count=300):
    rng = Random(seed)
    for _ in range(count):
        yield Speaker(rng).line()


def read(text):
    upper, lower = labels(parse(text))
    spread = [tuple(range(5, 5 + 6 * len(row), 6)) for row in (upper, lower)]
    return written(
        placed(Path(tuple(upper), spread[0], 0.0), Path(tuple(lower), spread[1], 0.0))
    ).text


@pytest.mark.parametrize("seed", range(4))
def test_every_line_can_be_spelt_in_tokens(seed):
    for line in lines(seed):
        upper, lower = labels(parse(line))
        assert all(0 < n < len(tokens(0)) for n in upper)
        assert all(0 < n < len(tokens(1)) for n in lower)


@pytest.mark.parametrize("usage", [usage for _, usage in USAGES], ids=lambda u: u.__name__)
def test_every_turn_of_writing_can_be_spelt_in_tokens(usage):
    rng = Random(usage.__name__)
    for _ in range(2000):
        upper, lower = labels(parse(usage(Speaker(rng))))
        assert len(upper) + len(lower) > 0


def test_a_line_is_read_back_as_it_was_meant():
    assert read("ΣF_{x}=0: A_{x}-7cos35°=0") == "ΣF_{x} = 0: A_{x}-7cos35° = 0"
    assert read("\\r{3^{2}+4^{2}}=5m\\c{T}") == "√(3^2+4^2) = 5m(T)"
    assert read("\\f{16×3}{8}") == "(16×3)/(8)"
    assert read("7.2\\s{8.1}kN") == "7.2~~…~~kN"
    assert read("B=\\o{8.1}{7.2}kN") == "B = ~~…~~7.2kN"
    assert read("\\a{→}ΣX=0") == "→+ΣX = 0"
    assert read("Kra\\¨fte") == "Krafte"
    assert read("\\f{\\f{3}{5}}{2}") == "(3/5)/(2)"
    assert read("\\f{7}{\\f{3}{5}F}") == "(7)/((3/5)F)"


def test_markup_becomes_a_tree():
    assert parse("A_{y}") == [Sign("A"), Script([Sign("y")], up=False)]


def test_equations_are_no_more_often_right_than_chance():
    """Sums of plain figures that the generator writes hardly ever come out."""
    import re

    right = total = 0
    for line in lines(9, 4000):
        found = re.fullmatch(r"(-?\d+)([+-])(\d+)=(-?\d+)", line)
        if found:
            a, sign, b, c = found.groups()
            total += 1
            right += int(a) + (int(b) if sign == "+" else -int(b)) == int(c)
    assert right <= max(1, total // 10)
