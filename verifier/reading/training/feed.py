"""Batches of composed lines from worker processes, of nearly one width each."""

import multiprocessing as mp
import queue
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

import cv2
import numpy as np
import torch
from torch import Tensor

from verifier.reading.training.compose import Composed, Composer, Words
from verifier.reading.training.library import Library

PIXELS = 176 * 1024
POOL = 900


@dataclass
class Batch:
    """`ink` (B, 80, W) bytes; the streams' token numbers end to end, with their lengths."""

    ink: Tensor
    upper: Tensor
    upper_lengths: Tensor
    lower: Tensor
    lower_lengths: Tensor


def batch_of(lines: list[Composed]) -> Batch:
    """Pad lines to the widest and join their tokens."""
    width = max(line.ink.shape[1] for line in lines)
    ink = np.zeros((len(lines), 80, width), np.uint8)
    for row, line in zip(ink, lines, strict=True):
        row[:, : line.ink.shape[1]] = line.ink

    def joined(rows: list[list[int]]) -> tuple[Tensor, Tensor]:
        flat = np.array([n for r in rows for n in r], np.int64)
        return torch.from_numpy(flat), torch.tensor([len(r) for r in rows])

    return Batch(
        torch.from_numpy(ink),
        *joined([line.upper for line in lines]),
        *joined([line.lower for line in lines]),
    )


def grouped(lines: list[Composed], rng: Random, pixels: int = PIXELS) -> list[Batch]:
    """Cut a pool of lines into batches of like width and of about `pixels` columns each."""
    lines = sorted(lines, key=lambda c: c.ink.shape[1])
    out: list[Batch] = []
    group: list[Composed] = []
    for line in reversed(lines):
        if group and group[0].ink.shape[1] * (len(group) + 1) > pixels:
            out.append(batch_of(group))
            group = []
        group.append(line)
    if len(group) * group[0].ink.shape[1] > pixels * 0.4:
        out.append(batch_of(group))
    rng.shuffle(out)
    return out


def blank() -> Composed:
    """Return a line with nothing on it."""
    return Composed(np.zeros((80, 320), np.uint8), [], [], "")


def _work(library: Library, words: Words, seed: int, out: "mp.Queue[Batch]") -> None:
    cv2.setNumThreads(0)
    torch.set_num_threads(1)
    rng = Random(seed)
    composer = Composer(library, words, "train", seed)
    pool = 150 + rng.randrange(POOL)
    while True:
        lines = [blank() if rng.random() < 0.004 else composer.line() for _ in range(pool)]
        pool = POOL
        for batch in grouped(lines, rng):
            out.put(batch)


class Feed:
    """Batches without end from `workers` processes; fork before the accelerator is touched."""

    def __init__(self, library: Library, words: Words, workers: int, seed: int) -> None:
        context = torch.multiprocessing.get_context("fork")
        self.queue = context.Queue(maxsize=48)
        self.workers = [
            context.Process(
                target=_work, args=(library, words, seed * 997 + k, self.queue), daemon=True
            )
            for k in range(workers)
        ]
        for worker in self.workers:
            worker.start()

    def __iter__(self) -> Iterator[Batch]:
        while True:
            try:
                yield self.queue.get(timeout=120)
            except queue.Empty as end:
                raise RuntimeError("the composing workers fell silent") from end

    def close(self) -> None:
        """End the workers."""
        for worker in self.workers:
            worker.terminate()


def held_out(library: Library, words: Words, count: int, seed: int) -> list[Batch]:
    """Return fixed batches of lines in hands that training never sees."""
    composer = Composer(library, words, "val", seed)
    return grouped([composer.line() for _ in range(count)], Random(seed), PIXELS // 2)


def load_words(folder: Path, split: str) -> Words:
    """Return the photographed words of one split."""
    return Words(folder, split)
