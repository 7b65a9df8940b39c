"""Measures the judging of typed workings on cases that the code under test has no part in making.

python tests/benchmarks/bench_judging.py --n 2000 --seed 7 [--workers 2] [--family WORD]
    [--style WORD] [--hands all|first|second] [--kind all|right|any|sets|situations|NAME]
    [--show-misses K | --list-misses] [--case N] [--dump FOLDER] [--no-cold]
"""

# ruff: noqa: T201  (a command that prints its table)

from __future__ import annotations

import argparse
import multiprocessing
import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(1, str(Path(__file__).resolve().parents[2]))

from generator.case import Case
from generator.every import FAMILIES, PEOPLE
from judging_outcomes import Outcome, build, judge, missed
from judging_tables import breakdown, table, worst


def alive(options: argparse.Namespace) -> None:
    """Stop at once where the code under test cannot even be imported or started."""
    for n in range(3):
        case = build(n, options)
        if case is not None:
            from verifier import check

            check(case.sheet, case.working)


def run_chunk(job: tuple[list[int], argparse.Namespace]) -> list[Outcome]:
    numbers, options = job
    return [judge(case) for n in numbers if (case := build(n, options)) is not None]


def cold_start(case: Case) -> str:
    """Seconds of a typed check in a fresh process beside those of importing sympy and lark."""
    with tempfile.TemporaryDirectory() as folder:
        sheet, working = Path(folder, "case.given"), Path(folder, "case.txt")
        sheet.write_text(case.sheet, "utf-8")
        working.write_text(case.working, "utf-8")
        check = [
            sys.executable,
            "-m",
            "verifier.cli",
            "check",
            str(working),
            "--given",
            str(sheet),
            "--json",
        ]
        plain = [sys.executable, "-c", "import sympy, lark"]
        root = Path(__file__).resolve().parents[2]
        # Bytecode is kept, as it is for an installed copy: sympy and lark have theirs as well.
        known = {**os.environ, "PYTHONPYCACHEPREFIX": str(Path(folder, "bytecode"))}
        known.pop("PYTHONDONTWRITEBYTECODE", None)
        seconds = {}
        for name, command in (("plain", plain), ("check", check)):
            runs = []
            for _ in range(5):
                start = time.perf_counter()
                subprocess.run(command, cwd=root, env=known, capture_output=True, check=False)
                runs.append(time.perf_counter() - start)
            seconds[name] = min(runs)
    ratio = seconds["check"] / seconds["plain"]
    check_ms, plain_ms = seconds["check"] * 1e3, seconds["plain"] * 1e3
    return f"cold check {check_ms:.0f} ms, import sympy, lark {plain_ms:.0f} ms: {ratio:.2f}  (≤ 3)"


def show(case: Case, o: Outcome) -> str:
    out = [
        f"{'-' * 20} case {o.number}: {case.family}, style {case.style}",
        case.sheet,
        number_lines(case.working),
    ]
    if case.truth:
        t = case.truth
        marks = " or ".join(
            repr(case.working.split("\n")[s.line - 1][s.start : s.end]) for s in t.spans[:3]
        )
        out.append(
            f"expected: line {t.line} {' or '.join((t.kind, *t.also))}, term {marks}  ({t.what})"
        )
    else:
        out.append("expected: a right working")
    out.append(f"got:      {o.said}")
    if o.unread_lines:
        out += [f"unread:   {u}" for u in o.unread_lines]
    return "\n".join(out)


def brief(case: Case, o: Outcome) -> str:
    """A miss in a few lines: the lines in question, what was expected, what was said."""
    lines = case.working.split("\n")
    truth = case.truth
    told = re.match(r"line (\d+)", o.said)
    numbers = {truth.line if truth else 0, int(told.group(1)) if told else 0} - {0}
    out = [f"case {o.number}: {case.situation or o.kind}, {case.family}, {case.style}"]
    out += [f"  {n:3d}  {lines[n - 1]}" for n in sorted(numbers)]
    if truth:
        kinds = " or ".join((truth.kind, *truth.also))
        out.append(f"  expected: line {truth.line} {kinds} ({truth.what})")
    return "\n".join([*out, f"  got: {o.said[:200]}", *(f"  unread: {u}" for u in o.unread_lines)])


def number_lines(working: str) -> str:
    return "\n".join(
        f"{i:3d}  {line}" for i, line in enumerate(working.rstrip("\n").split("\n"), 1)
    )


def dump(folder: Path, options: argparse.Namespace) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for n in range(options.n):
        case = build(n, options)
        if case is None:
            continue
        stem = folder / f"case{n:05d}"
        stem.with_suffix(".given").write_text(case.sheet, "utf-8")
        stem.with_suffix(".txt").write_text(case.working, "utf-8")
        stem.with_suffix(".truth").write_text(f"{case.truth}\n", "utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--n", type=int, default=600)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--family", default="")
    parser.add_argument("--style", default="")
    parser.add_argument(
        "--hands", choices=("all", "first", "second"), default="all",
        help="all people, or one roster of them",
    )  # fmt: skip
    parser.add_argument(
        "--kind",
        default="all",
        help="all, right, any (one fault), sets, situations, or one of their names",
    )
    parser.add_argument("--show-misses", type=int, default=0)
    parser.add_argument("--list-misses", action="store_true", help="every miss in brief")
    parser.add_argument("--case", type=int, default=None, help="show this one case")
    parser.add_argument("--dump", type=Path)
    parser.add_argument("--no-cold", action="store_true")
    options = parser.parse_args()
    if options.dump:
        dump(options.dump, options)
        return
    if options.case is not None:
        case = build(options.case, options)
        print(show(case, judge(case)) if case else "the dice fell badly: no such case")
        return
    alive(options)
    numbers = list(range(options.n))
    if options.workers > 1:
        size = max(1, min(50, options.n // (4 * options.workers)))
        jobs = [(numbers[i : i + size], options) for i in range(0, len(numbers), size)]
        with multiprocessing.Pool(options.workers) as pool:
            done = [o for part in pool.imap(run_chunk, jobs) for o in part]
    else:
        done = run_chunk((numbers, options))
    report(done, options)


def report(done: list[Outcome], options: argparse.Namespace) -> None:
    misses = [o for o in done if missed(o)]
    # Accused right workings first: nothing is worse.
    misses.sort(key=lambda o: (o.kind != "right" or o.verdict != "fault", o.number))
    shown = misses if options.list_misses else misses[: options.show_misses]
    for o in shown:
        case = build(o.number, options)
        if case is not None:
            print((brief if options.list_misses else show)(case, o), end="\n\n")
    print(
        f"{len(done)} workings of {options.n} asked, seed {options.seed}, "
        f"{len(FAMILIES)} families, {len(PEOPLE)} styles\n"
    )
    print(table(done))
    warm = [o.seconds for o in done[5:]] or [0.0]
    slowest = max(done[5:], key=lambda o: o.seconds, default=None)
    print(
        f"\nthroughput {len(warm) / max(sum(warm), 1e-9):.0f} workings/s a core (≥ 30), "
        f"slowest {max(warm) * 1e3:.0f} ms (case {slowest.number if slowest else '-'}), "
        f"mean {sum(o.lines for o in done) / max(len(done), 1):.1f} lines"
    )
    if not options.no_cold:
        sizes = sorted((abs(o.lines - 20), o.number) for o in done)
        case = build(sizes[0][1], options) if sizes else None
        if case is not None:
            print(cold_start(case))
    for by in ("kind", "group", "family", "style"):
        print(breakdown(done, by))
    print(worst(done))


if __name__ == "__main__":
    main()
