"""`python -m verifier.reading.training --data FOLDER --out FOLDER --minutes N`.

FOLDER holds the public sources (see RUNS.md): symbols.jsonl.xz, words.tar, words.tsv, paper.tar,
fonts.tsv, photographed_symbols.npz and, under `fonts/`, the font packages unpacked. The glyph
library is built from them on first use. A checkpoint in the out folder is taken up again.
"""

import argparse
import multiprocessing as mp
import os
import sys
from multiprocessing import connection
from pathlib import Path

import torch

from verifier.reading.training.library import build
from verifier.reading.training.run import PEAK, Plan, train


def main() -> None:
    """Read the arguments, build what is missing, train on every device there is."""
    parser = argparse.ArgumentParser(prog="python -m verifier.reading.training")
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--minutes", type=float, default=20)
    parser.add_argument("--stop-after", type=float, default=1e9, help="minutes of this run alone")
    parser.add_argument("--workers", type=int, default=max(1, (os.cpu_count() or 2) - 1))
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--begin", type=Path, help="averaged weights or .onnx to begin from")
    parser.add_argument("--peak", type=float, default=PEAK, help="highest learning rate")
    parser.add_argument("--uses", type=int, default=3, help="photographs of a composed line")
    given = parser.parse_args()
    if not (given.data / "library.npz").exists():
        build(given.data, given.data / "fonts", given.data / "library.npz")
    given.out.mkdir(parents=True, exist_ok=True)
    ranks = max(1, torch.cuda.device_count()) if _cuda() else 1
    plan = Plan(
        given.data, given.out, given.minutes, given.stop_after,
        max(1, given.workers // ranks), given.seed,
        given.begin, given.peak, given.uses,
    )  # fmt: skip
    if ranks == 1:
        train(0, 1, plan)
        return
    context = mp.get_context("fork")
    others = [context.Process(target=train, args=(r, ranks, plan)) for r in range(ranks)]
    for process in others:
        process.start()
    while any(process.is_alive() for process in others):
        connection.wait([process.sentinel for process in others if process.is_alive()])
        if any(process.exitcode for process in others):  # the rest would wait for it for ever
            for process in others:
                process.terminate()
            sys.exit(1)


def _cuda() -> bool:
    return os.path.exists("/dev/nvidiactl") or os.path.exists("/dev/nvidia0")


if __name__ == "__main__":
    main()
