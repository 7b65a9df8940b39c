"""Doubtful signs are held against those that the same page shows surely."""

import numpy as np
import pytest

from verifier.reading import own_hand
from verifier.reading.hand_text import Written
from verifier.reading.hand_tokens import numbers
from verifier.reading.hand_views import Heard, Told, ordered

NINE, FOUR = (6.0, 0.0), (-6.0, 0.0)  # where this hand draws them; all hands together at 0


@pytest.fixture(autouse=True)
def likeness(monkeypatch):
    held = own_hand.Likeness(
        np.eye(2), np.array([3.0, 0.1]), {(sign, 0): np.zeros(2) for sign in "0123456789"}
    )
    monkeypatch.setattr(own_hand, "_likeness", lambda: held)


def line(shapes, **chances):
    """Return a line of figures (`n94` is 94) with their log chances, ten columns a figure."""
    groups = {}
    for name, chance in chances.items():
        text = name[1:]
        row = tuple(numbers(0)[sign, 0] for sign in text)
        at = tuple(10 * k + 5 for k in range(len(text)))
        reading = Written(text, at, (0,) * len(text))
        told = Told(reading, 0.0, [chance], [chance], (row, ()), True, (at, ()))
        groups[text] = [told]
    return Heard(groups, np.repeat(np.array(shapes, np.float32), 5, axis=0))


def first(lines, at=-1):
    return own_hand.settled(lines)[at][0].reading.text


SHOWN = [line([NINE, FOUR], n94=-0.1), line([FOUR, NINE], n49=-0.1)]


def test_ink_is_what_this_hand_draws_so():
    doubtful = line([NINE], n4=-1.0, n9=-1.5)
    assert ordered(doubtful.groups)[0].reading.text == "4"
    assert first([*SHOWN, doubtful]) == "9"
    assert first([*SHOWN, line([FOUR], n9=-1.0, n4=-1.5)]) == "4"


def test_ink_that_looks_so_stays():
    assert first([*SHOWN, line([FOUR], n4=-1.0, n9=-1.5)]) == "4"


def test_a_line_alone_stays_as_it_is():
    doubtful = line([NINE], n4=-1.0, n9=-1.5)
    assert own_hand.settled([doubtful]) == [ordered(doubtful.groups)]


def test_less_is_told_where_the_page_shows_one_of_the_two():
    nines = line([NINE, NINE], n99=-0.1)
    near, far = line([NINE], n4=-1.0, n9=-1.2), line([NINE], n4=-1.0, n9=-2.5)
    assert first([nines, near]) == first([*SHOWN, near]) == "9"
    assert first([nines, far]) == "4"
    assert first([*SHOWN, far]) == "9"


def test_what_is_read_far_ahead_stays():
    assert first([*SHOWN, line([NINE], n4=-0.1, n9=-16.0)]) == "4"


def test_doubtful_signs_are_no_examples():
    unsure = [line([NINE, FOUR], n94=-1.0, n49=-1.1)] * 2
    doubtful = line([NINE], n4=-1.0, n9=-1.5)
    assert first([*unsure, doubtful]) == "4"


def test_figures_seen_elsewhere_count_for_nothing_by_themselves():
    """A page full of nines makes no nine likelier: shapes alone do."""
    nines = [line([NINE, FOUR], n94=-0.1)] + [line([NINE] * 3, n999=-0.1)] * 5
    assert first([*nines, line([FOUR], n4=-1.0, n9=-1.2)]) == "4"


def test_readings_with_other_counts_of_signs_are_not_compared():
    doubtful = line([NINE, FOUR], n4=-1.0, n99=-1.2)
    assert first([*SHOWN, doubtful]) == "4"


def test_more_examples_say_more():
    held = own_hand._likeness()
    shape = np.array(NINE)
    assert held.gain(shape, shape, 8.0) > held.gain(shape, shape, 1.0) > 0
    assert held.gain(shape, -shape, 8.0) < 0


def test_no_lines_and_empty_lines():
    assert own_hand.settled([]) == []
    assert own_hand.settled([Heard({}, np.zeros((4, 2), np.float32))]) == [[]]
