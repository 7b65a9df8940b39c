# ruff: noqa: T201  (a command that prints its table)
"""Tells how the workings in `tests/golden/pending` are judged: those known to be judged wrongly.

python tests/benchmarks/bench_pending.py

What is told as mended moves to `tests/golden/right` or `tests/golden/faulty`.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import verifier
from verifier.findings import Result

GOLDEN = Path(__file__).parents[1] / "golden"


def judged(working: Path) -> Result:
    name = working.stem.split("--")[0] + ".given"
    places = (GOLDEN / "right" / name, GOLDEN / "faulty" / name)
    return verifier.check(next(place for place in places if place.exists()), working)


def main() -> None:
    blamed = sorted((GOLDEN / "pending" / "right").glob("*.txt"))
    left = [path.stem for path in blamed if judged(path).faults]
    print(f"right workings blamed: {len(left)} of {len(blamed)}", *left, sep="\n  ")
    missed = []
    cases = sorted((GOLDEN / "pending" / "faulty").glob("*.expect"))
    for case in cases:
        rows = case.read_text(encoding="utf-8").splitlines()
        want = dict(row.split(": ", 1) for row in rows if row)
        first = judged(case.with_suffix(".txt")).first_fault
        told = first is not None and (first.line, first.kind) == (int(want["line"]), want["kind"])
        if not told:
            missed.append(case.stem)
    print(f"faults missed or told otherwise: {len(missed)} of {len(cases)}", *missed, sep="\n  ")


if __name__ == "__main__":
    main()
