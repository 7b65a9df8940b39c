"""The small decoder that judges whole readings of a line by what the network saw of it.

`training/decoder.py` is the same network for training. Here a reading is not searched for but
said after: how likely each of its tokens is, given the ink and those before it. What it knows of
language comes from lines that are as often wrong statics as right.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from verifier.reading.hand_tokens import END, LONGEST

Array = NDArray[np.float32]
Ints = NDArray[np.int_]


@dataclass(frozen=True)
class Seen:
    """What the network saw of a line, as each layer of the decoder looks at it: keys, values."""

    layers: tuple[tuple[Array, Array], ...]


class Decoder:
    """The decoder's weights, by the names that training gives them."""

    def __init__(self, held: dict[str, NDArray[np.generic]], heads: int) -> None:
        self.w: dict[str, Array] = {
            k: v.astype(np.float32) for k, v in held.items() if not k.endswith("_of")
        }
        self.signs, self.levels = (held[k].astype(np.int64) for k in ("sign_of", "level_of"))
        self.heads = heads
        self.layers = sum(k.endswith(".qkv.weight") for k in self.w)
        count = len(self.w["next_sign.bias"]), len(self.w["next_level.bias"])
        self._pairs = np.zeros(count, np.float32)  # what is particular to a sign at a level
        np.add.at(self._pairs, (self.signs, self.levels), np.exp(self.w["own"]))

    def look(self, columns: Array) -> Seen:
        """Return what it has of a line's columns (T, seen), for any number of `costs`."""
        held = self._norm("norm_seen", self._linear("bring", columns))
        held = held + waves_of(len(held), held.shape[1])
        parts = (self._linear(f"layers.{n}.seen", held) for n in range(self.layers))
        return Seen(tuple((k, v) for k, v in (np.split(part, 2, axis=1) for part in parts)))

    def costs(self, seen: Seen, lines: Sequence[Sequence[int]]) -> list[float]:
        """Return what each line (numbers, see `spoken`) costs in nats.

        What lines begin with alike is worked out once.
        """
        length = min(LONGEST, max(map(len, lines)))
        rows = np.full((len(lines), length), -1)
        for row, line in zip(rows, lines, strict=True):
            row[: len(line)] = line[:length]
        before = np.maximum(np.concatenate([np.full((len(rows), 1), END), rows[:, :-1]], 1), END)
        node, first = _beginnings(before)
        x = self._said(seen, before.ravel()[first], first % length, node, first)
        by_sign, by_level = self._linear("next_sign", x), self._linear("next_level", x)
        high = by_sign.max(1) + by_level.max(1)
        signs = np.exp(by_sign - by_sign.max(1, keepdims=True))
        levels = np.exp(by_level - by_level.max(1, keepdims=True))
        total = high + np.log(np.einsum("nl,nl->n", signs @ self._pairs, levels))
        own = np.maximum(rows, 0)
        scores = by_sign[node, self.signs[own]] + by_level[node, self.levels[own]]
        scores += self.w["own"][own]
        return [float(c) for c in ((total[node] - scores) * (rows >= 0)).sum(axis=1)]

    def _said(self, seen: Seen, before: Ints, place: Ints, node: Ints, first: Ints) -> Array:
        """Return the states (N, width) behind each beginning that lines have.

        `before` (N,) is the token that it ends with, at `place`; `node` (B, L) says which one each
        place of each line is, `first` (N,) where among these it stands first.
        """
        w = self.w
        x = w["sign.weight"][self.signs[before]] + w["level.weight"][self.levels[before]]
        x = x + w["place"][place]
        late = np.triu(np.full((node.shape[1],) * 2, -1e9, np.float32), 1)
        for n, (keys, values) in enumerate(seen.layers):
            name = f"layers.{n}."
            qkv = self._linear(name + "qkv", self._norm(name + "norm_a", x))[node]
            q, k, v = np.split(qkv, 3, axis=2)
            own = self._attended(q, k, v, late)
            x = x + self._linear(name + "out", own.reshape(-1, own.shape[2])[first])
            q = self._linear(name + "ask", self._norm(name + "norm_c", x))
            told = self._attended(q[None], keys[None], values[None], None)[0]
            x = x + self._linear(name + "told", told)
            wide = self._linear(name + "wide", self._norm(name + "norm_f", x))
            x = x + self._linear(name + "narrow", wide / (1 + np.exp(-wide)))
        return self._norm("norm", x)

    def _linear(self, name: str, x: Array) -> Array:
        return np.asarray(x @ self.w[f"{name}.weight"].T + self.w[f"{name}.bias"])

    def _norm(self, name: str, x: Array) -> Array:
        middle = x - x.mean(axis=-1, keepdims=True)
        spread = np.sqrt((middle**2).mean(axis=-1, keepdims=True) + 1e-5)
        return np.asarray(middle / spread * self.w[f"{name}.weight"] + self.w[f"{name}.bias"])

    def _attended(self, q: Array, k: Array, v: Array, late: Array | None) -> Array:
        """Return v (B, T, width) as each row of q (B, L, width) attends to it."""
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


def _beginnings(before: Ints) -> tuple[Ints, Ints]:
    """Return which beginning each place of each line is (B, L), and where each is first (N,)."""
    count = 0
    node = np.zeros_like(before)
    held = np.zeros(len(before), before.dtype)
    for place in range(before.shape[1]):
        pairs = held * (1 + before.max()) + before[:, place]
        _, held = np.unique(pairs, return_inverse=True)
        node[:, place] = count + held
        count += int(held.max()) + 1
    _, first = np.unique(node.ravel(), return_index=True)
    return node, first


def waves_of(count: int, width: int) -> Array:
    """Return places of columns as sines and cosines (count, width)."""
    rates = np.exp(-np.arange(width // 2) * (2 * math.log(1000.0) / width))
    turns = np.arange(count)[:, None] * rates[None]
    return np.concatenate([np.sin(turns), np.cos(turns)], axis=1).astype(np.float32)
