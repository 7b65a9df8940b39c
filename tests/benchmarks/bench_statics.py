# ruff: noqa: T201  (a command that prints its table)
"""What the independent solution costs from 6 to 80 joints.

python tests/benchmarks/bench_statics.py

Parallel-chord trusses with a load at each lower joint; the columns are seconds for reading the
sheet, for floats, for every item exactly, and for the written steps, each in this process with
everything imported, best of three.
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from verifier.statics import solve
from verifier.structure import read_sheet


def girder(panels: int, kind: str) -> str:
    """Return a truss of 2 · panels + 2 joints, its sizes numbers, surds or letters."""
    lines = ["units kN, m"]
    width, height = {"rational": ("2", "1.5"), "surd": ("2", "sqrt(3)"), "letters": ("a", "h")}[
        kind
    ]
    if kind == "letters":
        lines += ["let a", "let h", "let F"]
    load = "F" if kind == "letters" else "3"
    for i in range(panels + 1):
        lines += [f"joint L{i} {i}*{width} 0", f"joint U{i} {i}*{width} {height}"]
    lines.append("member L0-U0")
    for i in range(panels):
        j = i + 1
        diagonal = f"L{i}-U{j}" if i < panels / 2 else f"U{i}-L{j}"
        lines.append(f"member L{i}-L{j}, U{i}-U{j}, L{j}-U{j}, {diagonal}")
    lines += ["pin L0", f"roller L{panels}"]
    lines += [f"load L{i} {load} down" for i in range(1, panels)]
    return "\n".join(lines) + "\n"


def best(call) -> float:
    times = []
    for _ in range(3):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


def all_exact(structure) -> None:
    solution = solve(structure)
    for item in solution.values:
        solution.exact(item)


def main() -> None:
    print(f"{'geometry':10} {'joints':>6} {'read':>8} {'floats':>8} {'exact':>8} {'steps':>8}")
    for kind in ("rational", "surd", "letters"):
        for panels in (2, 4, 9, 19, 39):
            text = girder(panels, kind)
            structure = read_sheet(text)
            all_exact(read_sheet(girder(2, kind)))
            row = (
                best(lambda text=text: read_sheet(text)),
                best(lambda s=structure: solve(s)),
                best(lambda s=structure: all_exact(s)),
                best(lambda s=structure: solve(s).steps()),
            )
            shown = " ".join(f"{seconds:8.4f}" for seconds in row)
            print(f"{kind:10} {len(structure.joints):6} {shown}", flush=True)


if __name__ == "__main__":
    main()
