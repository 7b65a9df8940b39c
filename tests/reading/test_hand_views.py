"""Two views of a line, and how their readings are joined."""

from random import Random

import numpy as np

from verifier.reading.hand_image import HEIGHT, WIDEST
from verifier.reading.hand_text import Written
from verifier.reading.hand_views import Scored, Told, _back, clear, meaning, ordered, second
from verifier.reading.training.forms import FORMS, chosen


def scored(text, ink, column=20):
    return Scored(Written(text, (column,) * len(text), (0,) * len(text)), ink, ink)


def test_the_second_view_keeps_all_ink_of_a_tall_line():
    picture = np.zeros((HEIGHT, 320), np.float32)
    picture[2:78, 100:104] = 1.0
    view, larger = second(picture)
    assert larger < 1.1
    assert view[0].max() < 0.5
    assert view[-1].max() < 0.5
    assert abs(view.sum() / picture.sum() - larger**2) < 0.1


def test_the_second_view_is_never_too_wide():
    view, larger = second(np.zeros((HEIGHT, WIDEST), np.float32))
    assert view.shape == (HEIGHT, WIDEST)
    assert larger == 1.0


def test_a_sign_lies_where_the_first_view_saw_it():
    picture = np.zeros((HEIGHT, 640), np.float32)
    picture[36:44, 396:404] = 1.0
    view, larger = second(picture)
    middle = float((view.sum(axis=0) * np.arange(view.shape[1])).sum() / view.sum())
    assert abs(middle / larger - 400) < 2


def told(text, streams, decoder, column=20):
    reading = Written(text, (column,) * len(text), (0,) * len(text))
    return Told(reading, 0.0, streams, decoder)


def test_judges_that_agree_are_surer_than_judges_at_odds():
    agreed = ordered({"a": [told("a", [-0.1, -0.1], [-0.1, -0.1])],
                       "b": [told("b", [-3.0, -3.0], [-3.0, -3.0])]})  # fmt: skip
    odds = ordered({"a": [told("a", [-0.1, -3.0], [-0.1, -0.1])],
                     "b": [told("b", [-3.0, -0.1], [-3.0, -3.0])]})  # fmt: skip
    assert agreed[0].reading.text == odds[0].reading.text == "a"
    assert agreed[0].leads[0] > odds[0].leads[0] > 0
    assert agreed[0].leads[1] > 0 > odds[0].leads[1]


def test_ways_to_write_one_meaning_add_up():
    alone = ordered({"AB": [told("AB", [-1.0], [-1.0])], "A8": [told("A8", [-1.0], [-1.0])]})
    both = ordered({"AB": [told("AB", [-1.0], [-1.0]), told("A B", [-1.0], [-1.0])],
                     "A8": [told("A8", [-1.0], [-1.0])]})  # fmt: skip
    assert alone[0].leads[0] == 0
    assert both[0].reading.text in ("AB", "A B")
    assert both[0].leads[0] > 0


def test_a_reading_of_the_second_view_lies_where_the_first_saw_it():
    assert _back(Written("b", (44, None), (0, 0)), 1.1).columns == (40, None)


def test_no_offers_are_no_readings():
    assert ordered({}) == []


def test_only_a_reading_far_ahead_is_beyond_doubt():
    assert clear([scored("a", -0.01), scored("b", -7.0)])
    assert not clear([scored("a", -0.01), scored("b", -2.0)])
    assert not clear([scored("a", -1.0), scored("b", -9.0)])


def test_an_index_in_line_or_lowered_means_the_same():
    assert meaning("V_{B} = 3 kN") == meaning("VB = 3kN")
    assert meaning("V_{B}2") != meaning("VB2")


def test_every_form_is_drawn_on_the_line():
    for sign, (_, form) in FORMS.items():
        for seed in range(20):
            strokes = form(Random(seed))(Random(seed + 1))
            every = np.concatenate(strokes)
            assert np.isfinite(every).all(), sign
            assert float(every[:, 1].min()) > -1.4
            assert float(every[:, 1].max()) < 0.4
            assert 0.1 < float(np.ptp(every[:, 0])) < 1.3


def test_a_page_keeps_few_of_the_forms_and_some_pages_many():
    counts = [len(chosen(Random(seed))) for seed in range(200)]
    assert min(counts) == 0
    assert 1 < sum(counts) / len(counts) < 5
