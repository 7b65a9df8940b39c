"""How far readings are from what was written."""

from collections.abc import Sequence

import torch
from torch import Tensor


def greedy(scores: Tensor) -> list[list[int]]:
    """Return the best path of each line of scores (B, T, tokens), blanks and repeats taken out."""
    best = scores.argmax(dim=2)
    keep = best != 0
    keep[:, 1:] &= best[:, 1:] != best[:, :-1]
    return [row[k].tolist() for row, k in zip(best.cpu(), keep.cpu(), strict=True)]


def distance(a: Sequence[int], b: Sequence[int]) -> int:
    """Return the fewest insertions, deletions and changes from one row to the other."""
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


def token_errors(read: list[list[int]], written: Tensor, lengths: Tensor) -> list[tuple[int, int]]:
    """Return (errors, tokens written) of each line."""
    rows = torch.split(written.cpu(), lengths.tolist())
    return [(distance(r, w.tolist()), len(w)) for r, w in zip(read, rows, strict=True)]
