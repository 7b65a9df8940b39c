# ruff: noqa: T201, E402  (a command that prints its table, run from anywhere)
"""What judging costs as the structure and the working grow, from 6 to 80 joints.

python tests/benchmarks/bench_growth.py

The working is the solution's own steps written out: right, then with one number of its first sum
changed. Columns are processor seconds in this process with everything imported, best of three.
"""

import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

from bench_statics import girder

import verifier
from verifier.statics import solve
from verifier.structure import read_sheet


def written(sheet: str) -> list[str]:
    """Return the solution's steps as the lines of a working."""
    lines, body = [], ""
    for step in solve(read_sheet(sheet)).steps():
        if step.free_body != body:
            body = step.free_body
            lines.append(f"{body}:")
        lines += [step.text, *step.gives]
    return lines


def best(call) -> float:
    times = []
    for _ in range(3):
        start = time.process_time()
        call()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    print(f"{'joints':>6} {'lines':>6} {'right':>8} {'faulty':>8}  verdicts")
    for panels in (2, 4, 9, 19, 39):
        sheet = girder(panels, "rational")
        lines = written(sheet)
        right = "\n".join(lines) + "\n"
        faulty = right.replace("3 (2)", "3 (2.5)", 1)
        told = [verifier.check(sheet, text).verdict for text in (right, faulty)]
        costs = [
            best(lambda text=text, sheet=sheet: verifier.check(sheet, text))
            for text in (right, faulty)
        ]
        print(f"{2 * panels + 2:6} {len(lines):6} {costs[0]:8.3f} {costs[1]:8.3f}  {told}")


if __name__ == "__main__":
    main()
