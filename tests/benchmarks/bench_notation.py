"""Measures the reading of lines: time a line, start of a process, what is not understood.

python tests/benchmarks/bench_notation.py [--rounds N] [--show]

The lines are those of the golden files; `--show` prints the lines that are not understood. Slips
planted in golden files on purpose do not count.
"""

# ruff: noqa: T201  (a command that prints its table)

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "notation")]


def corpus() -> list[tuple[str, object, str]]:
    """(line, names, meaning) of every golden line."""
    from test_golden_notation import FOLDER, load, sheet

    found = []
    for path in sorted(FOLDER.glob("*.txt")):
        first = next(r for r in path.read_text("utf-8").splitlines() if r.startswith("sheet:"))
        names = sheet(first.removeprefix("sheet:"))
        found += [(golden.written, names, golden.meaning) for golden in load(path)]
    return found


def main(rounds: int, show: bool) -> None:
    """Print the table."""
    from verifier.notation import read_line, read_working
    from verifier.notation.tree import Unread

    lines = corpus()
    for text, names, _ in lines:
        read_line(text, 1, names)
    each = []
    for text, names, _ in lines:
        start = time.process_time()
        for _ in range(rounds):
            read_working(text, names)
        each.append(((time.process_time() - start) / rounds * 1e3, text))
    each.sort(reverse=True)
    fair = [(t, n) for t, n, meaning in lines if "unread" not in meaning]
    lost = [t for t, n in fair if any(isinstance(p, Unread) for p in read_working(t, n)[0].parts)]
    names = lines[0][1]
    paste = "\n".join(text for text, _, _ in lines)
    paste = "\n".join((paste + "\n") * (10_000 // len(lines) + 1)).split("\n")
    start = time.process_time()
    read_working("\n".join(row for row in paste if row)[:800_000], names)
    big = time.process_time() - start
    code = "import time; t = time.process_time(); import lark; a = time.process_time()\n" + (
        "from verifier.notation import read_line; from verifier.notation.tree import Names\n"
        "read_line('ΣM_A = 0: 6(2.4) − 8 B = 0', 1, Names()); b = time.process_time()\n"
        "print(f'{(a - t) * 1e3:.0f} ms for lark, then {(b - a) * 1e3:.0f} ms')"
    )
    cold = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True
    )
    print(f"lines                          {len(lines)}")
    print(f"mean a line, warm              {sum(t for t, _ in each) / len(each):.2f} ms  (≤ 1)")
    print(f"slowest line                   {each[0][0]:.2f} ms  {each[0][1][:50]}")
    print(f"lines not understood           {100 * len(lost) / len(fair):.2f} %  (≤ 1)")
    print(f"a paste of some 10,000 lines   {big:.1f} s")
    print(f"first line of a process        {cold.stdout.strip()}")
    for text in lost if show else ():
        print(f"   {text}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--show", action="store_true")
    options = parser.parse_args()
    main(options.rounds, options.show)
