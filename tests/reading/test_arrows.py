"""Heads of arrows too small to read: where a shaft is thicker at one end, on both its sides."""

import numpy as np
import pytest

from verifier.reading.arrows import pointed
from verifier.reading.shapes import GLYPHS, INDEX


def _drawn(head: int, flag: int = 0) -> np.ndarray:
    """Return an upright stroke; its head reaches out so far, a flag to the left alone."""
    ink = np.zeros((40, 24), np.float32)
    ink[4:36, 11:14] = 1
    for row in range(6):
        ink[4 + row, 11 - min(row, head) : 14 + min(row, head)] = 1
        ink[4 + row, 11 - min(row, flag) : 14] = 1
    return ink


def _footed() -> np.ndarray:
    ink = _drawn(0)
    ink[33:36, 8:17] = 1
    return ink


def _read(ink: np.ndarray, as_: str) -> str:
    scores = np.full(len(GLYPHS), -9, np.float32)
    scores[INDEX[as_]] = 0
    rows, columns = np.nonzero(ink)
    box = (int(columns.min()), int(rows.min()), int(np.ptp(columns)) + 1, int(np.ptp(rows)) + 1)
    return GLYPHS[int(pointed(scores, ink, box).argmax())]


@pytest.mark.parametrize(
    ("ink", "as_", "read"),
    [
        (_drawn(3), "1", "↑"),
        (_drawn(3)[::-1], "1", "↓"),
        (_drawn(0, flag=5), "1", "1"),
        (_drawn(0), "l", "l"),
        (_drawn(3).T, "−", "←"),
        (_drawn(3)[::-1].T, "−", "→"),
        (_drawn(0).T, "−", "−"),
        (_drawn(3), "T", "T"),
        (_footed(), "l", "l"),
    ],
)
def test_a_head_tells_an_arrow(ink: np.ndarray, as_: str, read: str) -> None:
    assert _read(ink, as_) == read
