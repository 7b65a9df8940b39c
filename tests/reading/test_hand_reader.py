"""The handwriting reader whole, on lines in hands that training never saw (hands/*.png).

They were picked from those that the shipped weights read right: they guard against regression
and measure nothing. What is measured, bench_hand.py prints.
"""

import hashlib
import json
from pathlib import Path

import cv2
import numpy as np
import pytest

from verifier.errors import FileError
from verifier.notation.tree import Names
from verifier.reading import hand, hand_weights

HERE = Path(__file__).parent / "hands"
EXPECTED = json.loads((HERE / "lines.json").read_text(encoding="utf-8"))


def image(name):
    return cv2.imread(str(HERE / name), cv2.IMREAD_GRAYSCALE)


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_a_line_is_read_as_written(name):
    ways = hand.read_lines([image(name)], Names())[0]
    assert ways[0][0].replace(" ", "") == EXPECTED[name].replace(" ", "")


def test_readings_come_with_chances_and_boxes():
    name = sorted(EXPECTED)[0]
    picture = image(name)
    ways = hand.read_lines([picture], Names())[0]
    chances = [chance for _, chance, _ in ways]
    assert chances == sorted(chances, reverse=True)
    assert sum(chances) <= 1.0 + 1e-9
    text, _, boxes = ways[0]
    assert len(boxes) == len(text)
    height, width = picture.shape
    real = [box for box in boxes if box is not None]
    assert len(real) >= len(text.replace(" ", "")) * 0.6
    for x, y, w, h in real:
        assert x >= 0
        assert y >= 0
        assert x + w <= width + 1
        assert y + h <= height + 1


def test_writing_reads_more_clearly_upright():
    pictures = [image(name) for name in sorted(EXPECTED)[:4]]
    turned = [np.ascontiguousarray(p[::-1, ::-1]) for p in pictures]
    assert hand.clarity(pictures) > hand.clarity(turned) + 0.1


def test_a_blank_line_has_no_reading():
    assert hand.read_lines([np.full((60, 400), 250, np.uint8)], None) == [[]]


@pytest.mark.parametrize("shape", [(1, 10_000), (3000, 3), (400, 30_000)])
def test_strange_shapes_end_quietly(shape):
    noise = np.random.default_rng(3).integers(0, 255, shape, dtype=np.uint8)
    for ways in hand.read_lines([noise], None):
        assert all(0 <= chance <= 1 for _, chance, _ in ways)


def test_the_weights_are_the_recorded_ones():
    held = hand_weights.WEIGHTS / "reader.onnx"
    assert hashlib.sha256(held.read_bytes()).hexdigest() == hand_weights.card()["sha256"]
    assert held.stat().st_size < 20_000_000


def test_other_weights_are_refused(tmp_path, monkeypatch):
    (tmp_path / "reader.onnx").write_bytes(b"something else")
    (tmp_path / "reader.json").write_text('{"sha256": "0"}')
    monkeypatch.setattr(hand_weights, "WEIGHTS", tmp_path)
    with pytest.raises(FileError):
        hand_weights._network.__wrapped__()
