"""Batches of composed lines from worker processes, of nearly one width each."""

import multiprocessing as mp
import queue
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from random import Random

import cv2
import numpy as np
import torch
from torch import Tensor

from verifier.reading.hand_tokens import LONGEST, spoken
from verifier.reading.training.compose import Composed, Composer, Words
from verifier.reading.training.library import Library

PIXELS = 88 * 1024
"""Columns of a batch; each is photographed twice."""
WIDTHS = (192, 256, 320, 384, 448, 512, 640, 768, 896, 1088, 1280, 1536)
KEPT = 64


@dataclass
class Batch:
    """`ink` (B, 80, W) bytes; the streams' token numbers end to end, with their lengths.

    `rows` (B, L) are both streams as the decoder says them, −1 behind each line's end.
    """

    ink: Tensor
    upper: Tensor
    upper_lengths: Tensor
    lower: Tensor
    lower_lengths: Tensor
    rows: Tensor


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
        said([spoken(line.upper, line.lower)[:LONGEST] for line in lines]),
    )


def said(lines: list[list[int]]) -> Tensor:
    """Return rows of numbers as one (B, L), −1 behind each one's end."""
    out = np.full((len(lines), max(map(len, lines))), -1, np.int64)
    for row, line in zip(out, lines, strict=True):
        row[: len(line)] = line
    return torch.from_numpy(out)


class Sorter:
    """Gathers lines by width and gives a batch as soon as one of a width is full."""

    def __init__(self, pixels: int = PIXELS) -> None:
        self.pixels = pixels
        self.held: dict[int, list[Composed]] = defaultdict(list)

    def add(self, line: Composed) -> Batch | None:
        """Take a line, padded to the next of the widths; return a full batch or None."""
        width = next((w for w in WIDTHS if w >= line.ink.shape[1]), WIDTHS[-1])
        line.ink = line.ink[:, :width]
        line.ink = np.pad(line.ink, ((0, 0), (0, width - line.ink.shape[1])))
        group = self.held[width]
        group.append(line)
        if len(group) < self.pixels // width:
            return None
        del self.held[width]
        return batch_of(group)


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
    sorter = Sorter()
    while True:
        batch = sorter.add(blank() if rng.random() < 0.004 else composer.line())
        if batch is not None:
            out.put(batch)


def _own(batch: Batch, device: torch.device) -> Batch:
    """Return a copy on the device, so that what came with the queue is let go.

    Lengths stay with the processor, since reading them back would stall the device.
    """
    moved = [batch.ink, batch.upper, batch.lower, batch.rows]
    if device.type == "cuda":  # beside the work in hand, which a copy would otherwise wait for
        main, side = torch.cuda.current_stream(device), _beside(device)
        with torch.cuda.stream(side):
            moved = [part.to(device) for part in moved]
        main.wait_stream(side)
        for part in moved:
            part.record_stream(main)
    else:
        moved = [part.clone() for part in moved]
    lengths = batch.upper_lengths.clone(), batch.lower_lengths.clone()
    return Batch(moved[0], moved[1], lengths[0], moved[2], lengths[1], moved[3])


@lru_cache(maxsize=1)
def _beside(device: torch.device) -> torch.cuda.Stream:
    return torch.cuda.Stream(device)


class Feed:
    """Batches without end from `workers` processes; fork before the accelerator is touched.

    Where composing is slower than learning, a batch comes back, up to `uses` times in all, for
    the camera to take anew.
    """

    def __init__(
        self, library: Library, words: Words, workers: int, seed: int, uses: int = 1
    ) -> None:
        self.uses, self.fresh, self.device = uses, 0, torch.device("cpu")
        self.dice = Random(seed)
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
        held: list[tuple[Batch, int]] = []
        while True:
            try:
                waits = not held or len(held) < KEPT
                batch, uses = _own(self.queue.get(timeout=240 if waits else 0.001), self.device), 1
                self.fresh += len(batch.ink)
            except queue.Empty as end:
                if not held:
                    raise RuntimeError("the composing workers fell silent") from end
                batch, uses = held.pop(self.dice.randrange(len(held)))
                uses += 1
            if uses < self.uses:
                held.append((batch, uses))
                if len(held) > 4 * KEPT:
                    held.pop(0)
            yield batch

    def close(self) -> None:
        """End the workers."""
        for worker in self.workers:
            worker.terminate()


def composed(library: Library, words: Words, split: str, count: int, seed: int) -> list[Batch]:
    """Return fixed batches of lines in the hands of one split: training never sees "val"."""
    composer = Composer(library, words, split, seed)
    return grouped([composer.line() for _ in range(count)], Random(seed), PIXELS)


def load_words(folder: Path, split: str) -> Words:
    """Return the photographed words of one split."""
    return Words(folder, split)
