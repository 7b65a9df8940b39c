"""The small decoder that judges whole readings of a line by what the network saw of it.

`training/decoder.py` is the same network for training. Here a reading is not searched for but
said after: how likely each of its tokens is, given the ink and those before it. What it knows of
language comes from lines that are as often wrong statics as right.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from verifier.reading.hand_tokens import END, LONGEST

Array = NDArray[np.float32]


class Decoder:
    """The decoder's weights, by the names that training gives them."""

    def __init__(self, held: dict[str, NDArray[np.generic]], heads: int) -> None:
        self.w: dict[str, Array] = {
            k: v.astype(np.float32) for k, v in held.items() if not k.endswith("_of")
        }
        self.signs, self.levels = (held[k].astype(np.int64) for k in ("sign_of", "level_of"))
        self.heads = heads
        self.layers = sum(k.endswith(".qkv.weight") for k in self.w)

    def costs(self, columns: Array, lines: Sequence[Sequence[int]]) -> list[float]:
        """Return what each line (numbers, see `spoken`) costs in nats, columns being (T, seen)."""
        length = min(LONGEST, max(map(len, lines)))
        rows = np.full((len(lines), length), -1)
        for row, line in zip(rows, lines, strict=True):
            row[: len(line)] = line[:length]
        before = np.concatenate([np.full((len(rows), 1), END), rows[:, :-1]], axis=1)
        scores = self._scores(columns, np.maximum(before, END))
        high = scores.max(axis=2, keepdims=True)
        total = high[..., 0] + np.log(np.exp(scores - high).sum(axis=2))
        own = np.take_along_axis(scores, np.maximum(rows, 0)[..., None], axis=2)[..., 0]
        return [float(c) for c in ((total - own) * (rows >= 0)).sum(axis=1)]

    def _scores(self, columns: Array, before: NDArray[np.int_]) -> Array:
        w = self.w
        held = self._norm("norm_seen", self._linear("bring", columns))
        held = held + waves_of(len(held), held.shape[1])
        x = w["sign.weight"][self.signs[before]] + w["level.weight"][self.levels[before]]
        x = x + w["place"][: before.shape[1]]
        late = np.triu(np.full((before.shape[1],) * 2, -1e9, np.float32), 1)
        for n in range(self.layers):
            name = f"layers.{n}."
            q, k, v = np.split(
                self._linear(name + "qkv", self._norm(name + "norm_a", x)), 3, axis=2
            )
            x = x + self._linear(name + "out", self._attended(q, k, v, late))
            q = self._linear(name + "ask", self._norm(name + "norm_c", x))
            k, v = np.split(self._linear(name + "seen", held)[None], 2, axis=2)
            x = x + self._linear(name + "told", self._attended(q, k, v, None))
            wide = self._linear(name + "wide", self._norm(name + "norm_f", x))
            x = x + self._linear(name + "narrow", wide / (1 + np.exp(-wide)))
        x = self._norm("norm", x)
        by_sign, by_level = self._linear("next_sign", x), self._linear("next_level", x)
        return np.asarray(by_sign[..., self.signs] + by_level[..., self.levels] + w["own"])

    def _linear(self, name: str, x: Array) -> Array:
        return np.asarray(x @ self.w[f"{name}.weight"].T + self.w[f"{name}.bias"])

    def _norm(self, name: str, x: Array) -> Array:
        middle = x - x.mean(axis=-1, keepdims=True)
        spread = np.sqrt((middle**2).mean(axis=-1, keepdims=True) + 1e-5)
        return np.asarray(middle / spread * self.w[f"{name}.weight"] + self.w[f"{name}.bias"])

    def _attended(self, q: Array, k: Array, v: Array, late: Array | None) -> Array:
        """Return v (B or 1, T, width) as each row of q (B, L, width) attends to it."""
        size = q.shape[2] // self.heads
        q, k, v = (
            p.reshape(*p.shape[:2], self.heads, size).transpose(0, 2, 1, 3) for p in (q, k, v)
        )
        scores = q @ k.transpose(0, 1, 3, 2) * np.float32(size**-0.5)
        if late is not None:
            scores = scores + late
        scores = np.exp(scores - scores.max(axis=3, keepdims=True))
        mixed = (scores / scores.sum(axis=3, keepdims=True)) @ v
        return np.asarray(mixed.transpose(0, 2, 1, 3).reshape(len(mixed), -1, self.heads * size))


def waves_of(count: int, width: int) -> Array:
    """Return places of columns as sines and cosines (count, width)."""
    rates = np.exp(-np.arange(width // 2) * (2 * math.log(1000.0) / width))
    turns = np.arange(count)[:, None] * rates[None]
    return np.concatenate([np.sin(turns), np.cos(turns)], axis=1).astype(np.float32)
