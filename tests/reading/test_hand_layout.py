"""How the composer sets signs against what they belong to, and which sheets it learns from."""

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from verifier.reading.training import photographed
from verifier.reading.training.fitting import Fitted, against, reach_of
from verifier.reading.training.formulas import fractions
from verifier.reading.training.gestures import Haste, ends, tailed
from verifier.reading.training.language import Speaker
from verifier.reading.training.layout import Pen
from verifier.reading.training.library import Hand
from verifier.reading.training.markup import Root, Script, Stack, parse


def upright(top, foot, x=0.0):
    return np.array([(x, top), (x, foot)], np.float32)


def fitted(held):
    strokes = [upright(-1, 0), held, upright(-1, 0, 2)]
    pair = Fitted(strokes[:1], Random(1), 1.0)
    pair.seen("(", 0, 1.0)
    pair.strokes = strokes
    return pair.seen(")", 2, 1.0), strokes


def test_brackets_grow_to_what_they_hold():
    grown, strokes = fitted(upright(-1.6, 0.7, 1))
    assert grown
    for bracket in (strokes[0], strokes[2]):
        top, foot = reach_of([bracket])
        assert top == pytest.approx(-1.6, abs=0.3)
        assert foot == pytest.approx(0.7, abs=0.3)


def test_brackets_about_one_row_stay_as_they_are():
    grown, strokes = fitted(upright(-1, 0, 1))
    assert not grown
    assert reach_of([strokes[0]]) == (-1, 0)


def test_a_bracket_closes_the_last_that_was_opened_with_its_like():
    pair = Fitted([upright(-1, 0)], Random(1), 1.0)
    pair.seen("[", 0, 1.0)
    assert not pair.seen(")", 0, 1.0)
    assert [sign for sign, _, _ in pair.open] == ["["]


@pytest.mark.parametrize("held", [(-1.0, 0.0), (-0.6, 0.0), (-0.6, 0.3), (-0.4, -0.35)])
def test_a_power_is_raised_and_an_index_lowered_whatever_they_belong_to(held):
    for seed in range(50):
        rng = Random(seed)
        assert against(held, True, rng.uniform(0.2, 1), 0.0, 1.0, rng) <= -0.3
        assert against(held, False, rng.uniform(0, 0.5), 0.0, 1.0, rng) >= 0


def test_the_power_of_a_tall_bracket_stands_at_its_top():
    for seed in range(50):
        at = against((-1.8, 0.9), True, 0.5, 0.0, 1.0, Random(seed))
        assert -1.8 <= at <= -1.3


def deepest(row, depth=0):
    """How many fractions lie in one another."""
    found = [depth]
    for node in row:
        match node:
            case Stack(top=top, low=low):
                found += [deepest(top, depth + 1), deepest(low, depth + 1)]
            case Root(row=inner) | Script(row=inner):
                found.append(deepest(inner, depth))
    return max(found)


def test_a_fraction_in_another_is_one():
    rng = Random(2)
    assert all(deepest(parse(fractions(Speaker(rng)))) >= 2 for _ in range(200))


def test_sheets_that_are_measured_on_are_far_from_those_learnt_from(tmp_path):
    count = 1500
    images = np.full((count, 28, 28), 255, np.uint8)
    for place in range(count):
        images[place, 6:22, 13:15] = 0

    np.savez(tmp_path / "signs.npz", images=images, labels=np.array(["1"] * count))
    found = list(photographed.signs(tmp_path / "signs.npz"))
    learnt = {number for _, taught, number, _ in found if taught}
    measured = {number for _, taught, number, _ in found if not taught}
    assert len(found) == len(photographed.LEARNT) + len(photographed.MEASURED)
    assert (len(learnt), len(measured)) == (30, 20)
    assert photographed.MEASURED.start - photographed.LEARNT.stop >= 80
    assert photographed.MEASURED.stop == count


def test_tails_lead_into_a_letter_and_out_of_it():
    letter = [np.array([(0.2, -0.5), (0.0, 0.0), (0.4, 0.0)], np.float32)]
    for seed in range(20):
        out = tailed("a", letter, 0.3, Random(seed))
        assert out[0] is letter[0]
        for extra in out[1:]:
            assert min(
                np.abs(extra[-1] - letter[0][0]).max(), np.abs(extra[0] - letter[0][-1]).max()
            ) == pytest.approx(0, abs=1e-5)


def test_a_letter_goes_on_from_its_body_and_not_from_its_dot():
    body, dot = upright(-0.6, 0.0), np.array([(0.0, -0.9)], np.float32)
    first, last = ends("i", [body, dot])
    assert (first == body[0]).all()
    assert (last == body[-1]).all()


def test_letters_of_a_font_stand_as_the_font_sets_them():
    class Two:
        def __init__(self):
            self.even = {}

        def glyph(self, index):
            return np.array([(0, -1), (0.5, 0)], np.float32), np.array([2])

        def beside(self, index):
            return -0.1, 0.05

    hand = Hand("font", "font", "train", {"A": [0], "B": [0]})
    for seed in range(30):
        pen = Pen(Two(), [hand], [], Random(seed))
        pen.as_set, pen.haste = True, Haste(0.0, 0, 0.0, 0.0, 0.0)
        pen.manner = replace(
            pen.manner, size_jitter=0.0, turn_jitter=0.0, warp=0.0, slant=0.0, growth=0.0,
            wander=0.0, slope=0.0, coarse=0.0, drift=0.0, crowd=0.0,
        )  # fmt: skip
        one, two = pen.write(parse("AB"))[:2]
        gap = float(two[:, 0].min() - one[:, 0].max())
        wide = float(np.ptp(one[:, 0]))
        assert gap / wide == pytest.approx(-0.05 / 0.5, abs=0.12)
