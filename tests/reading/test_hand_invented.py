"""Hands that nobody has: readable still, and true to themselves for a page."""

from random import Random

import numpy as np
import pytest

from verifier.reading.training.forms import FORMS
from verifier.reading.training.invented import Style, between, even_strokes, own, style


def drawn(sign, seed):
    return FORMS[sign][1](Random(seed))(Random(seed))


@pytest.mark.parametrize("sign", sorted(FORMS))
def test_a_style_of_nothing_leaves_a_sign_as_it_is(sign):
    strokes = drawn(sign, 1)
    for before, after in zip(strokes, own(sign, strokes, Style(), Random(2)), strict=True):
        assert np.array_equal(before, after)


@pytest.mark.parametrize("sign", sorted(FORMS))
def test_every_style_keeps_a_sign_near_its_place(sign):
    for seed in range(200):
        rng = Random(seed)
        strokes = drawn(sign, seed)
        after = np.concatenate(own(sign, strokes, style(rng), rng))
        before = np.concatenate(strokes)
        assert np.isfinite(after).all()
        assert np.abs(after.min(axis=0) - before.min(axis=0)).max() < 0.6
        assert np.abs(after.max(axis=0) - before.max(axis=0)).max() < 0.6


def test_a_page_bends_a_sign_alike_each_time_and_another_page_otherwise():
    strokes = drawn("3", 1)
    one, other = Style(bend=0.08, seed=1), Style(bend=0.08, seed=2)

    def apart(a, b):
        pairs = [own("3", strokes, page, Random(k)) for k, page in enumerate((a, b))]
        return np.abs(np.concatenate(pairs[0]) - np.concatenate(pairs[1])).mean()

    assert apart(one, one) < 0.6 * apart(one, other)


def test_between_two_writers_lie_signs_of_one_form_alone():
    three, like, seven = (even_strokes(drawn(s, k)) for s, k in (("3", 1), ("3", 2), ("7", 1)))
    assert np.allclose(between(three, like, 0.0), three)
    assert np.allclose(between(three, like, 1.0), like)
    half = np.stack(between(three, like, 0.5))
    assert np.allclose(half, (three + like) / 2, atol=1e-5)
    assert between(three, three * np.float32([-1, 1]), 0.5) is None
    assert between(np.concatenate([three, seven[:1]]), three, 0.5) is None


def test_a_stroke_drawn_from_its_other_end_is_the_same_stroke():
    three = even_strokes(drawn("3", 1))
    assert np.allclose(between(three, three[:, ::-1], 1.0), three)


def test_marks_stay_marks():
    dot = [np.float32([[0, 0]])]
    strong = Style(bend=0.3, tremor=0.1, round=0.1, lifting=1.0, seed=3)
    assert own(".", dot, strong, Random(1)) is dot
