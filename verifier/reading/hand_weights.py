"""The handwriting network that ships with the package: recorded, and checked at load."""

import hashlib
import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from threading import Lock

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.errors import FileError
from verifier.reading.hand_decoder import Decoder

WEIGHTS = Path(__file__).parent / "weights"
OUTPUTS = ("upper", "lower", "columns", "shapes")
_KEPT = 4  # pictures whose scores are kept
_loading = Lock()  # several threads may want them first


@dataclass(frozen=True)
class Trust:
    """How a reading's score becomes a probability (fitted on held-out writers)."""

    temperature: float
    bias: float
    lead: float
    least: float
    length: float
    sure: float


Scores = tuple[NDArray[np.float32], ...]


class Network:
    """The network, run by OpenCV's own engine; any width, one picture at a time.

    It computes on all cores at once, and a second copy for another thread would take its memory.
    """

    def __init__(self, path: Path) -> None:
        self._net = cv2.dnn.readNetFromONNX(str(path), cv2.dnn.ENGINE_NEW)
        self._free = Lock()
        self._kept: dict[bytes, Scores] = {}

    def scores(self, picture: NDArray[np.float32], keep: bool = False) -> Scores:
        """Return the scores (T, tokens) of both streams of a picture (80, W), columns and shapes.

        The columns (T / 2, seen) are what the decoder looks at; the shapes (T / 2, seen) are what
        they were before most of the line was heard of. `keep` says that the picture will
        be asked about once more: the last few of those are kept until then.
        """
        key = picture.tobytes()
        with self._free:
            known = self._kept.pop(key, None) or self._seen(picture)
            if keep:
                self._kept = dict([*self._kept.items(), (key, known)][-_KEPT:])
        return known

    def _seen(self, picture: NDArray[np.float32]) -> Scores:
        self._net.setInput(np.ascontiguousarray(picture[None, None]))
        return tuple(part[0] for part in self._net.forward([*OUTPUTS]))


def card() -> dict[str, object]:
    """Return what is recorded of the weights."""
    held = json.loads((WEIGHTS / "reader.json").read_text(encoding="utf-8"))
    return dict(held)


@lru_cache(maxsize=1)
def trust() -> Trust:
    """Return the fitted figures of doubt."""
    held = json.loads((WEIGHTS / "reader.json").read_text(encoding="utf-8"))
    return Trust(**held["trust"])


def network() -> Network:
    """Load the network once; raises `FileError` where the file is not the recorded one."""
    with _loading:
        return _network()


def decoder() -> Decoder:
    """Load the decoder once; raises `FileError` where the file is not the recorded one."""
    with _loading:
        return _decoder()


def alike() -> dict[str, NDArray[np.generic]]:
    """Load once what tells how alike two signs are; raises `FileError` likewise."""
    with _loading:
        return _alike()


@lru_cache(maxsize=1)
def _alike() -> dict[str, NDArray[np.generic]]:
    with np.load(_recorded("own_hand.npz", "own_hand_sha256")) as held:
        return {name: held[name] for name in held.files}


@lru_cache(maxsize=1)
def _network() -> Network:
    return Network(_recorded("reader.onnx", "sha256"))


@lru_cache(maxsize=1)
def _decoder() -> Decoder:
    with np.load(_recorded("decoder.npz", "decoder_sha256")) as held:
        parts = {name: held[name] for name in held.files}
    return Decoder(parts, int(parts.pop("heads")))


def _recorded(name: str, key: str) -> Path:
    path = WEIGHTS / name
    found = hashlib.sha256(path.read_bytes()).hexdigest() if path.exists() else "no file"
    if found != card()[key]:
        raise FileError(str(path.name), "the handwriting reader's weights are not those recorded")
    return path
