"""The reader's network in numpy, held against OpenCV's engine, and its weights' file."""

import cv2
import numpy as np
import pytest

from verifier.reading.hand_onnx import weights
from verifier.reading.hand_weights import WEIGHTS, network

FILE = WEIGHTS / "reader.onnx"


@pytest.mark.parametrize("width", [32, 64, 96, 416])
def test_numpy_computes_what_opencv_does(width):
    picture = np.random.default_rng(width).random((80, width), np.float32)
    engine = cv2.dnn.readNetFromONNX(str(FILE), cv2.dnn.ENGINE_NEW)
    engine.setInput(picture[None, None])
    for own, other in zip(
        network().scores(picture), engine.forward(["upper", "lower", "columns"]), strict=True
    ):
        assert own.shape == other[0].shape
        assert np.abs(own - other[0]).max() < 2e-3 * np.abs(other).max()


def test_every_weight_is_found_and_named():
    held = weights(FILE.read_bytes())
    assert held["mixers.7.narrow.weight"].shape == (864, 288)
    assert held["look.9.two.weight"].shape == (192, 192, 3, 3)
    assert not any(name.startswith("onnx::") for name in held)
    kept = ("look.", "mixers.", "fold.", "finer.", "norm.", "upper.", "lower.")
    parameters = sum(t.size for name, t in held.items() if name.startswith(kept))
    assert 8_000_000 < parameters < 10_000_000


def test_other_bytes_are_no_network():
    with pytest.raises(ValueError, match="no ONNX file"):
        weights(b"\x3f" * 40)
