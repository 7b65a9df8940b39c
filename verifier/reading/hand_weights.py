"""The handwriting network that ships with the package: recorded, and checked at load."""

import hashlib
import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.errors import FileError

WEIGHTS = Path(__file__).parent / "weights"


@dataclass(frozen=True)
class Trust:
    """How a reading's score becomes a probability (fitted on held-out writers)."""

    temperature: float
    bias: float
    first: float
    second: float
    length: float
    sure: float


class Network:
    """The network, run by OpenCV's own engine; one picture at a time, any width."""

    def __init__(self, path: Path) -> None:
        self._net = cv2.dnn.readNetFromONNX(str(path), cv2.dnn.ENGINE_NEW)

    def scores(self, picture: NDArray[np.float32]) -> tuple[NDArray[np.float32], ...]:
        """Return the scores (T, tokens) of the upper and lower streams of a picture (80, W)."""
        self._net.setInput(np.ascontiguousarray(picture[None, None]))
        upper, lower = self._net.forward(["upper", "lower"])
        return upper[0], lower[0]


def card() -> dict[str, object]:
    """Return what is recorded of the weights."""
    held = json.loads((WEIGHTS / "reader.json").read_text(encoding="utf-8"))
    return dict(held)


@lru_cache(maxsize=1)
def trust() -> Trust:
    """Return the fitted figures of doubt."""
    held = json.loads((WEIGHTS / "reader.json").read_text(encoding="utf-8"))
    return Trust(**held["trust"])


@lru_cache(maxsize=1)
def network() -> Network:
    """Load the network once; raises `FileError` where the file is not the recorded one."""
    path = WEIGHTS / "reader.onnx"
    recorded = card()["sha256"]
    found = hashlib.sha256(path.read_bytes()).hexdigest() if path.exists() else "no file"
    if found != recorded:
        raise FileError(str(path.name), "the handwriting reader's weights are not those recorded")
    return Network(path)
