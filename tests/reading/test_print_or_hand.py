"""Print is told from the neatest hand by its even glyphs; what stays in doubt accuses nobody."""

from random import Random

import numpy as np
import pytest
from PIL import Image, ImageDraw
from printed import LINES, font

from verifier.notation.tree import Names
from verifier.reading import page, print_or_hand, printed
from verifier.reading.lines import ReadLine
from verifier.reading.print_or_hand import Hand
from verifier.reading.printed import Seen

_MIDDLE = 0.7  # how far the readers of print agree where a page may be either


def _seen(spread: float) -> list[Seen]:
    """Draw the lines sign by sign, each by up to `spread` larger or smaller; look at them."""
    rng = Random(7)
    sheet = Image.new("RGB", (1700, 1300), (245, 245, 245))
    draw = ImageDraw.Draw(sheet)
    for row, line in enumerate(LINES):
        x = 120.0
        for char in line:
            drawn = font("DejaVuSans.ttf", round(38 * (1 + rng.uniform(-spread, spread))))
            draw.text((x, 150 + 105 * row), char, fill=(40, 40, 40), font=drawn, anchor="ls")
            x += drawn.getlength(char)
    return printed.look(page.lay_out(np.array(sheet), 1).lines)


@pytest.fixture(scope="module")
def even() -> list[Seen]:
    return _seen(0.0)


@pytest.fixture(scope="module")
def uneven() -> list[Seen]:
    return _seen(0.2)


def test_equal_glyphs_of_print_are_of_one_size(even: list[Seen], uneven: list[Seen]) -> None:
    count, off = print_or_hand.unevenness([one.glyphs for one in even])
    assert count >= 40
    assert off < 0.035
    count, off = print_or_hand.unevenness([one.glyphs for one in uneven])
    assert count >= 40
    assert off > 0.075


def test_a_glance_tells_uneven_glyphs(even: list[Seen], uneven: list[Seen]) -> None:
    assert print_or_hand.is_uneven([one.line for one in uneven])
    assert not print_or_hand.is_uneven([one.line for one in even])


def test_tesseract_sees_only_what_may_be_print(even: list[Seen], uneven: list[Seen]) -> None:
    long = max(even, key=lambda one: one.glyphs.count)
    assert print_or_hand.may_be_print(long.glyphs)
    other = next(one for one in uneven if not print_or_hand.may_be_print(one.glyphs))
    first, second = printed.look([long.line, other.line], print_or_hand.may_be_print)
    assert len(first.letters) > 10
    assert second.letters == ()
    assert second.glyphs.count == other.glyphs.count


def test_evenness_tells_where_the_readers_of_print_leave_doubt(
    even: list[Seen], uneven: list[Seen]
) -> None:
    assert print_or_hand.told(even, _MIDDLE, Names()) == Hand(print_=True)
    assert not print_or_hand.told(uneven, _MIDDLE, Names()).print_


def test_a_page_on_which_the_readers_of_print_hardly_agree_is_by_hand(even: list[Seen]) -> None:
    assert print_or_hand.told(even, 0.4, Names()) == Hand(print_=False)


def test_a_page_without_lines_is_no_print() -> None:
    assert not print_or_hand.told([], 0.0, Names()).print_


def test_print_that_is_in_doubt_is_no_surer_than_a_question() -> None:
    line = ReadLine("P = 7 kN", 1, (0, 0, 9, 9), 0.96, (("P = 1 kN", 0.03),), (), "print")
    for hand in (Hand(print_=True, sure=False), Hand(print_=False)):
        found = hand.tempered(line)
        assert found is not None
        assert found.confidence + found.alternatives[0][1] <= 0.8 + 1e-9
        assert found.confidence > 0.75
    assert Hand(print_=True).tempered(line) == line


def test_a_line_by_hand_and_a_doubtful_line_of_print_stay_as_they_are() -> None:
    own = ReadLine("P = 7 kN", 1, (0, 0, 9, 9), 0.96, (), (), "hand")
    weak = ReadLine("P = 7 kN", 1, (0, 0, 9, 9), 0.5, (("P = 1 kN", 0.2),), (), "print")
    doubt = Hand(print_=True, sure=False)
    assert doubt.tempered(own) == own
    assert doubt.tempered(weak) == weak
    assert doubt.tempered(None) is None
