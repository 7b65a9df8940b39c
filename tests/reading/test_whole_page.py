"""What all lines of a page by hand tell of one of them: figures it lacks, the size of a letter."""

import cv2
import numpy as np
import pytest

from verifier.notation.tree import Names
from verifier.reading import ink, lacking, letter_size
from verifier.reading.lines import ReadLine
from verifier.reading.mixed import mixed


def _hand(text: str, sure: float = 0.9, *others: tuple[str, float]) -> ReadLine:
    return ReadLine(text, 1, None, sure, others, (), "hand")


def test_a_figure_that_a_page_lacks_may_be_written_like_another():
    page = [
        _hand("Y = (3·8+16·13,5)/16,5 = 11,55 kips"),
        _hand("Z = 3+16-11,55 = 1,150 kips"),
        _hand("M = 3·2,75-1,150·10,75 = -39,59 kip-ft"),
        _hand("M = 3·7+16·1,5-1,150·15 = -21,75 kip-ft"),
    ]
    second = lacking.offered(page)[1]
    assert second is not None
    assert second.text == page[1].text
    assert 0.4 < second.confidence < 0.6
    assert "Z = 3+16-14,55 = 4,450 kips" in dict(mixed(second))
    assert second.confidence + sum(chance for _, chance in second.alternatives) < 1


@pytest.mark.parametrize("more", ["T = 4 kN", "T = 3 kN"])
def test_nothing_is_offered_where_the_page_has_the_figure_or_few_figures(more):
    page = [_hand("R = 3·8-2,5 = 21,5 kN"), _hand(more)]
    assert lacking.offered(page) == page


def test_a_letter_has_the_size_that_the_page_shows_most():
    page = [
        _hand("-2 V+4134 = 0", 0.7, ("-2 v+4134 = 0", 0.15)),
        _hand("V+3 = 0", 0.6, ("v+3 = 0", 0.2)),
        _hand("v = 2067 N", 0.5, ("V = 2067 N", 0.3), ("u = 2067 N", 0.1)),
    ]
    third = letter_size.agreed(page, Names())[2]
    assert third is not None
    assert (third.text, third.confidence) == ("V = 2067 N", 0.8)
    assert letter_size.agreed(page, Names(letters=frozenset("vV"))) == page


def test_a_letter_read_clearly_keeps_its_size():
    page = [_hand("P = 3 kN"), _hand("P+3 = 6 kN"), _hand("p = 2 kN/m", 0.8, ("P = 2 kN/m", 0.1))]
    assert letter_size.agreed(page, Names()) == page


@pytest.mark.parametrize(("paper", "pen", "turned"), [(40, 230, True), (240, 80, False)])
def test_light_writing_on_a_dark_board_is_turned_and_a_page_half_in_the_shade_is_not(
    paper, pen, turned
):
    page = np.full((800, 600), paper, np.uint8)
    for row in range(60, 780, 60):
        cv2.putText(page, "M = 3.5 + 2 = 5.5", (30, row), cv2.FONT_HERSHEY_SIMPLEX, 1, pen, 2)
    if not turned:
        page[:, :400] = page[:, :400] // 3
    evened = ink.even(page)
    writing = evened[page > 200] if turned else evened[page < 40]
    assert writing.mean() < 120 < 200 < np.median(evened)
