"""Signs cut from photographed sheets, as hands: sheets to learn from and others to measure on.

The collection (bhmsds) holds 1,500 pictures of each of 18 signs and names no writer. Its order
tells the sheets: two pictures of a sign are the more alike the nearer they stand, up to about a
hundred places apart. So each sign's first pictures are learnt from and its last ones are measured
on, with a gap between: other sheets, though the same person may have written more than one.
"""

from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.reading.training.skeleton import strokes_of

LEARNT, MEASURED = range(1020), range(1100, 1500)
SHEET, FEW = 34, 20
"""So many pictures of each sign, side by side in the collection, make one hand of each kind."""
_SIZES = {"·": 0.12, "-": 0.45, "+": 0.5, "w": 0.62, "x": 0.62, "z": 0.62, "y": 0.9}

Stroke = NDArray[np.float32]


def signs(path: Path) -> Iterator[tuple[str, bool, int, list[Stroke]]]:
    """Return each sign with whether it is learnt from, its hand's number, and its strokes."""
    held = np.load(path)
    images, labels = held["images"], held["labels"]
    for learnt, places, count in ((True, LEARNT, SHEET), (False, MEASURED, FEW)):
        for sign in sorted(set(labels.tolist())):
            every = np.flatnonzero(labels == sign)
            for at, place in enumerate(places):
                strokes = _strokes(images[every[place]], sign)
                if strokes:
                    yield sign, learnt, at // count, strokes


def _strokes(image: NDArray[np.uint8], sign: str) -> list[Stroke]:
    big = cv2.resize(image, None, fx=3, fy=3, interpolation=cv2.INTER_CUBIC)
    strokes = strokes_of(np.asarray(big) < 150)
    if not strokes:
        return []
    size = float(np.ptp(np.concatenate(strokes), axis=0).max()) or 1.0
    return [s * np.float32(_SIZES.get(sign, 1.0) / size) for s in strokes]
