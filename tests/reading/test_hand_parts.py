"""The parts of the handwriting reader that need no network: beam, text, prior, picture."""

import numpy as np
import pytest

from verifier.notation.tree import Names
from verifier.reading.hand_beam import Path, best_paths, log_softmax
from verifier.reading.hand_image import HEIGHT, prepare
from verifier.reading.hand_prior import Offered, weight
from verifier.reading.hand_text import placed, written
from verifier.reading.hand_tokens import MAIN, SUB, SUP, TOP, numbers, tokens


def path(stream, *signs):
    held = numbers(stream)
    return Path(tuple(held[s, level] for s, level, _ in signs), tuple(c for _, _, c in signs), 0.0)


def text(upper, lower=()):
    return written(placed(path(0, *upper), path(1, *lower)))


def test_every_token_has_its_own_number():
    for stream in (0, 1):
        held = tokens(stream)
        assert held[0] is None
        assert len(numbers(stream)) == len(held) - 1


def test_scripts_become_plain_notation():
    read = text([("R", MAIN, 5), ("A", SUB, 9), ("y", SUB, 12), ("=", MAIN, 20), ("4", MAIN, 28),
                 ("2", SUP, 32)])  # fmt: skip
    assert read.text == "R_{Ay} = 4^2"


def test_each_character_that_stands_on_paper_keeps_its_column():
    read = text([("R", MAIN, 5), ("A", SUB, 9), ("=", MAIN, 20), ("4", MAIN, 28)])
    assert len(read.columns) == len(read.text)
    assert [c for c in read.columns if c is not None] == [5, 9, 20, 28]


def test_a_stacked_fraction_is_read_top_first():
    upper = [("=", MAIN, 5), ("1", TOP, 14), ("6", TOP, 18), ("k", MAIN, 30)]
    assert text(upper, [("8", MAIN, 15)]).text == "= (16)/(8)k"


def test_two_fractions_keep_what_stands_under_each():
    upper = [("3", TOP, 6), ("+", MAIN, 14), ("4", TOP, 22)]
    assert text(upper, [("5", MAIN, 6), ("7", MAIN, 23)]).text == "(3)/(5)+(4)/(7)"


def test_a_root_ends_where_its_bar_ends():
    upper = [("√", MAIN, 4), ("9", MAIN, 9), ("⟧", MAIN, 12), ("m", MAIN, 20)]
    assert text(upper).text == "√(9)m"


def test_a_root_holds_its_fraction():
    upper = [("√", MAIN, 4), ("9", TOP, 9), ("+", MAIN, 14), ("1", MAIN, 18), ("⟧", MAIN, 22),
             ("m", MAIN, 26)]  # fmt: skip
    assert text(upper, [("7", MAIN, 9)]).text == "√((9)/(7)+1)m"
    inner = [("√", TOP, 6), ("3", TOP, 9), ("⟧", TOP, 12), ("m", MAIN, 20)]
    assert text(inner, [("7", MAIN, 9)]).text == "(√(3))/(7)m"
    assert text([("√", MAIN, 4), ("9", TOP, 9)], [("7", MAIN, 9)]).text == "√((9)/(7))"


def test_an_open_root_is_closed():
    assert text([("√", MAIN, 4), ("9", MAIN, 9)]).text == "√(9)"


def _line(signs: str) -> list[tuple[str, int, int]]:
    return [(sign, MAIN, 4 * at) for at, sign in enumerate(signs)]


def test_an_open_root_holds_the_number_behind_it_and_no_bracket_around_it():
    assert text(_line("(7/√74)T=3")).text == "(7/√(74))T = 3"
    assert text(_line("√74T")).text == "√(74)T"
    assert text(_line("(√9+7)T")).text == "(√(9+7))T"
    assert text(_line("√16+9=5")).text == "√(16+9) = 5"
    assert text(_line("√(16+9)T")).text == "√((16+9))T"
    assert text(_line("√16+9⟧T")).text == "√(16+9)T"


def test_a_cross_between_numbers_is_a_product_and_a_letter_stays_one():
    product = text([("3", MAIN, 2), ("x", MAIN, 8), ("4", MAIN, 14)])
    name = text([("3", MAIN, 2), ("x", MAIN, 8), ("=", MAIN, 14), ("4", MAIN, 20)])
    assert product.text == "3×4"
    assert name.text == "3x = 4"


def test_the_beam_adds_up_all_ways_to_spread_a_reading():
    p = np.log(np.array([[0.4, 0.35, 0.25], [0.4, 0.35, 0.25]]))
    found = {one.tokens: np.exp(one.score) for one in best_paths(p, 20, -20)}
    assert found[()] == pytest.approx(0.16)
    assert found[1,] == pytest.approx(0.35 * 0.35 + 2 * 0.4 * 0.35)
    assert found[1, 2] == pytest.approx(0.35 * 0.25)
    assert sum(found.values()) == pytest.approx(1.0)


def test_the_beam_parts_a_doubled_sign_only_by_a_blank():
    scores = np.full((3, 3), -9.0, np.float32)
    scores[0, 1] = scores[1, 0] = scores[2, 1] = 5.0
    assert best_paths(log_softmax(scores))[0].tokens == (1, 1)
    scores[1, 0], scores[1, 1] = -9.0, 5.0
    assert best_paths(log_softmax(scores))[0].tokens == (1,)


def test_the_prior_is_blind_to_figures_signs_and_functions():
    offered = Offered.of(Names(joints=frozenset("AB")))
    names = Names(joints=frozenset("AB"))
    lines = ["B_{y}(6)-12(2) = 0", "B_{y}(6)+12(2) = 0", "B_{y}(9)-12(2) = 0", "A_{y}(6)-12(2) = 0"]
    assert len({weight(line, names, offered) for line in lines}) == 1
    assert weight("F sin 30° = 4", names, offered) == weight("F cos 30° = 4", names, offered)


def test_the_prior_prefers_balanced_brackets_and_names_of_the_sheet():
    names = Names(joints=frozenset("AB"))
    offered = Offered.of(names)
    assert weight("3(4+2) = 0", names, offered) > weight("3(4+2 = 0", names, offered)
    assert weight("V_{B} = 3", names, offered) > weight("V_{K} = 3", names, offered)


@pytest.mark.parametrize("shape", [(1, 1), (2, 900), (40, 2), (60, 300), (900, 40)])
def test_an_empty_line_has_nothing_to_read(shape):
    assert prepare(np.full(shape, 240, np.uint8)) is None


def test_a_line_is_brought_to_the_networks_size_and_back():
    image = np.full((200, 900), 230, np.uint8)
    image[70:130, 100:112] = 40
    image[70:130, 400:412] = 40
    image[70:80, 400:460] = 40
    found = prepare(image)
    assert found is not None
    assert found.picture.shape[0] == HEIGHT
    assert found.picture.shape[1] % 32 == 0
    columns = np.flatnonzero((found.picture > 0.6).any(axis=0))
    assert columns[0] / found.scale + found.origin[0] == pytest.approx(100, abs=4)
