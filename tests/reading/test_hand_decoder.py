"""The decoder that judges whole readings, and the chance of a reading by the streams."""

from itertools import product

import numpy as np
import pytest
from test_hand_reader import EXPECTED, image

from verifier.reading.hand_beam import best_paths, chances, log_softmax
from verifier.reading.hand_decoder import waves_of
from verifier.reading.hand_image import prepare
from verifier.reading.hand_tokens import END, LONGEST, PARTING, spoken, tokens
from verifier.reading.hand_views import View
from verifier.reading.hand_weights import decoder


def columns(count=12):
    return np.random.default_rng(4).normal(size=(count, 288)).astype(np.float32)


def costs_of(lines):
    return decoder().costs(decoder().look(columns()), lines)


def spread(line, logs):
    """The chance of a line by adding up every way to spread it over the columns."""
    total = 0.0
    for way in product(range(logs.shape[1]), repeat=len(logs)):
        read = tuple(n for i, n in enumerate(way) if n and (i == 0 or way[i - 1] != n))
        if read == tuple(line):
            total += float(np.exp(sum(logs[t, n] for t, n in enumerate(way))))
    return float(np.log(total))


@pytest.mark.parametrize("line", [(), (1,), (1, 1), (2, 1), (1, 2, 1), (3, 3)])
def test_a_readings_chance_is_the_sum_of_all_its_ways(line):
    logs = log_softmax(np.random.default_rng(1).normal(size=(5, 4)).astype(np.float32))
    assert chances(logs, [line, (2,), (1, 2, 3)])[0] == pytest.approx(spread(line, logs))


def test_columns_blank_beyond_doubt_change_nothing():
    scores = np.random.default_rng(2).normal(size=(6, 4)).astype(np.float32)
    blank = np.array([[30, 0, 0, 0]] * 3, np.float32)
    line = (1, 2)
    between = np.concatenate([scores[:3], blank, scores[3:]])
    slow = np.concatenate([scores[:3], np.array([[8.6, 0, 0, 0]], np.float32), scores[3:]])
    assert chances(log_softmax(between), [line])[0] == pytest.approx(
        chances(log_softmax(slow), [line])[0], abs=0.02
    )


def test_the_search_finds_the_chance_that_the_sum_gives():
    logs = log_softmax(3 * np.random.default_rng(3).normal(size=(9, 5)).astype(np.float32))
    found = best_paths(logs, 40, -30.0)[0]
    assert chances(logs, [found.tokens])[0] == pytest.approx(found.score, abs=1e-3)


def test_a_line_is_said_as_one_row_that_parts_its_streams():
    behind = len(tokens(0))
    assert spoken([4, 9], []) == [5, 10, PARTING, END]
    assert spoken([4], [2]) == [5, PARTING, 2 + behind, END]
    most = spoken([behind - 1], [len(tokens(1)) - 1])
    assert max(most) == len(decoder().signs) - 1


def test_what_comes_next_is_one_of_all_numbers():
    first = [[n] for n in range(len(decoder().signs))]
    assert sum(np.exp(-np.array(costs_of(first)))) == pytest.approx(1, abs=1e-4)


def test_lines_judged_together_cost_what_they_cost_alone():
    lines = [spoken([5, 9, 40], []), spoken([5, 9], [3, 4]), spoken([7] * 60, [])]
    together = costs_of(lines)
    alone = [costs_of([line])[0] for line in lines]
    assert together == pytest.approx(alone, abs=1e-3)


def test_a_line_longer_than_any_that_was_learnt_is_judged_by_its_beginning():
    cost = costs_of([spoken([7] * (2 * LONGEST), [])])
    assert np.isfinite(cost).all()


def test_places_of_columns_differ():
    waves = waves_of(384, 144)
    assert waves.shape == (384, 144)
    assert len({tuple(np.round(row, 5)) for row in waves}) == 384


@pytest.mark.parametrize("name", sorted(EXPECTED)[:3])
def test_the_ink_decides_and_not_what_is_usual(name):
    """Of a line and the same with one figure changed, the one that stands there is likelier."""
    prepared = prepare(image(name))
    view = View(prepared.picture)
    best = max(view.offers, key=lambda pair: pair[0].score + pair[1].score)
    true = (best[0].tokens, best[1].tokens)
    digits = [n for n, t in enumerate(tokens(0)) if t and t.sign in "0123456789"]
    spots = [i for i, n in enumerate(true[0]) if n in digits]
    changed = []
    for spot in spots:
        level = tokens(0)[true[0][spot]].level
        for n in digits:
            if tokens(0)[n].level == level and n != true[0][spot]:
                row = list(true[0])
                row[spot] = n
                changed.append((tuple(row), true[1]))
    assert changed
    view.judge([true, *changed])
    assert view.by_decoder[true] > max(view.by_decoder[one] for one in changed)
    assert view.by_streams[true] > max(view.by_streams[one] for one in changed)


SAID = (([5, 9, 40], []), ([5, 9], [3, 4]))
COSTS = [31.0628, 44.3765]
"""What the network of training makes of SAID: `tests/benchmarks/check_training.py` tells it."""


def test_reading_computes_what_training_did():
    found = costs_of([spoken(*parts) for parts in SAID])
    assert found == pytest.approx(COSTS, abs=1e-2)
