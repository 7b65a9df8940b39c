# ruff: noqa: T201  (a command that prints its table)
"""Measures the judging of typed workings on cases that the code under test has no part in making.

python tests/benchmarks/bench_judging.py --n 2000 --seed 7 [--workers 2] [--family WORD] [--style WORD]
    [--kind all|right|any|sets|KIND] [--show-misses K] [--dump FOLDER] [--no-cold]
"""

from __future__ import annotations

import argparse
import math
import multiprocessing
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(1, str(Path(__file__).resolve().parents[2]))

from generator.case import Case, make_case
from generator.every import FAMILIES
from generator.faults import PLANTS
from generator.sets import SETS
from generator.style import STYLES


@dataclass
class Outcome:
    """What the tool said about one case, reduced to what the table counts."""

    number: int
    family: str
    style: str
    kind: str
    verdict: str = ""
    found: bool = False
    line: bool = False
    kind_right: bool = False
    term: bool = False
    exact: bool = False
    lines: int = 0
    unread: int = 0
    undecided: int = 0
    answers_wrong: int = 0
    seconds: float = 0.0
    said: str = ""
    got_kind: str = ""
    error: str = ""
    group: str = "single"
    unread_lines: list[str] = field(default_factory=list)


def wilson(k: int, n: int) -> tuple[float, float]:
    """95 % confidence interval of a share, in per cent."""
    if n == 0:
        return 0.0, 100.0
    z, p = 1.96, k / n
    mid = (p + z * z / (2 * n)) / (1 + z * z / n)
    half = z * math.sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / (1 + z * z / n)
    return 100 * max(0.0, mid - half), 100 * min(1.0, mid + half)


def judge(case: Case) -> Outcome:
    """Run the public API on one case and hold its first fault against the truth."""
    from verifier import check

    truth = case.truth
    out = Outcome(case.number, case.family, case.style, truth.kind if truth else "right")
    out.group = truth.group if truth else "right"
    start = time.perf_counter()
    try:
        result = check(case.sheet, case.working)
    except Exception as error:
        out.seconds = time.perf_counter() - start
        out.verdict, out.error = "crash", f"{type(error).__name__}: {error}"
        out.said = out.error
        return out
    out.seconds = time.perf_counter() - start
    out.verdict = result.verdict
    out.lines = len(result.lines)
    out.unread_lines = [v.text for v in result.lines if v.status == "unread"]
    out.unread = len(out.unread_lines)
    out.undecided = sum(v.status == "undecided" for v in result.lines)
    out.answers_wrong = sum(a.status in ("differs", "missing") for a in result.answers)
    first = result.first_fault
    if first is not None:
        text = case.working.split("\n")[first.line - 1]
        pointed = text[first.columns[0] : first.columns[1]]
        out.said = f"line {first.line} {first.kind} «{pointed}» ({first.where}; wants {first.expected}) {first.message}"
    else:
        odd = [
            f"{v.line}:{v.status} «{v.text}» {v.note}"
            for v in result.lines
            if v.status in ("unread", "undecided")
        ]
        out.said = f"verdict {result.verdict}; " + "; ".join(odd)
    if truth is None or first is None:
        return out
    out.found, out.got_kind = True, first.kind
    out.line = first.line == truth.line or first.line in truth.other_lines
    out.kind_right = out.line and first.kind in (truth.kind, *truth.also)
    a, b = trimmed(case.working.split("\n")[first.line - 1], *first.columns)
    spans = [
        trimmed(case.working.split("\n")[s.line - 1], s.start, s.end)
        for s in truth.spans
        if s.line == first.line
    ]
    out.exact = bool(spans) and (a, b) == spans[0]
    out.term = out.line and any(s <= a < b <= e for s, e in spans)
    return out


def trimmed(line: str, a: int, b: int) -> tuple[int, int]:
    while a < b and line[a] == " ":
        a += 1
    while b > a and line[b - 1] == " ":
        b -= 1
    return a, b


def build(number: int, options: argparse.Namespace) -> Case | None:
    kinds, sets = list(PLANTS), list(SETS)
    kind: str | None = None
    if options.kind == "all":
        turn, place = divmod(number, 8)  # of eight: three right, four single faults, one of a set
        if place in (1, 2, 4, 5):
            kind = kinds[(turn * 4 + place - 1 - (place > 3)) % len(kinds)]
        elif place == 7:
            kind = sets[turn % len(sets)]
    elif options.kind == "sets":
        kind = sets[number % len(sets)]
    elif options.kind == "any":
        kind = kinds[number % len(kinds)]
    elif options.kind != "right":
        kind = options.kind
    families = [f for f in FAMILIES if options.family in f]
    styles = [s for s in STYLES if options.style in s.name]
    return make_case(
        options.seed, kind, families[number % len(families)] if options.family else None,
        styles[number % len(styles)] if options.style else None, number,
    )  # fmt: skip


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


def missed(o: Outcome) -> bool:
    if o.kind == "right":
        return o.found or o.verdict in ("fault", "crash") or o.unread > 0
    return not (o.found and o.line and o.kind_right and o.term)


def share(name: str, k: int, n: int, want: str) -> str:
    low, high = wilson(k, n)
    value = 100 * k / n if n else float("nan")
    return f"{name:<44}{value:7.2f} %  [{low:6.2f}, {high:6.2f}]  {k}/{n}  {want}"


def table(done: list[Outcome]) -> str:
    right = [o for o in done if o.kind == "right"]
    faulty = [o for o in done if o.group == "single"]
    sets = [o for o in done if o.group not in ("single", "right")]
    n = len(faulty)
    lines = sum(o.lines for o in done)
    rows = [
        share(
            "right workings wrongly accused",
            sum(o.verdict == "fault" for o in right),
            len(right),
            "(≤ 0.5)",
        ),
        share(
            "  right workings that agree", sum(o.verdict == "agrees" for o in right), len(right), ""
        ),
        share("fault found", sum(o.found for o in faulty), n, "(100)"),
        share("first line right", sum(o.line for o in faulty), n, "(≥ 98)"),
        share("kind right", sum(o.kind_right for o in faulty), n, "(≥ 95)"),
        share("term right", sum(o.term for o in faulty), n, "(≥ 95)"),
        share("  term exactly to the column", sum(o.exact for o in faulty), n, ""),
        share("compound, repeated, misread: found", sum(o.found for o in sets), len(sets), "(100)"),
        share("  first line right", sum(o.line for o in sets), len(sets), "(≥ 98)"),
        share("  kind right", sum(o.kind_right for o in sets), len(sets), "(≥ 95)"),
        share("  term right", sum(o.term for o in sets), len(sets), "(≥ 95)"),
        share("lines not understood", sum(o.unread for o in done), lines, "(≤ 1)"),
        share("  lines undecided", sum(o.undecided for o in done), lines, ""),
        share("crashes", sum(o.verdict == "crash" for o in done), len(done), "(0)"),
    ]
    return "\n".join(rows)


def breakdown(done: list[Outcome], by: str) -> str:
    groups: dict[str, list[Outcome]] = defaultdict(list)
    for o in done:
        groups[getattr(o, by)].append(o)
    out = [
        f"\n{'by ' + by:<26}{'right':>6}{'accused':>8}{'faulty':>8}{'found':>7}{'line':>7}{'kind':>7}{'term':>7}{'unread':>8}"
    ]
    for name, os in sorted(groups.items()):
        right = [o for o in os if o.kind == "right"]
        bad = [o for o in os if o.kind != "right"]

        def cent(k: int, n: int) -> str:
            return f"{100 * k / n:.0f}" if n else "-"

        accused = sum(o.verdict == "fault" for o in right)
        out.append(
            f"{name:<26}{len(right):>6}{accused:>8}{len(bad):>8}"
            f"{cent(sum(o.found for o in bad), len(bad)):>7}{cent(sum(o.line for o in bad), len(bad)):>7}"
            f"{cent(sum(o.kind_right for o in bad), len(bad)):>7}{cent(sum(o.term for o in bad), len(bad)):>7}"
            f"{sum(o.unread for o in os):>8}"
        )
    return "\n".join(out)


def worst(done: list[Outcome]) -> str:
    classes: Counter[str] = Counter()
    for o in done:
        if o.kind == "right" and o.verdict == "fault":
            classes[f"right accused of {o.said.split(' ')[2]} in {o.family}"] += 1
        elif o.kind != "right" and missed(o):
            what = (
                "not found"
                if not o.found
                else "wrong line"
                if not o.line
                else (f"called {o.got_kind}" if not o.kind_right else "wrong term")
            )
            classes[f"{o.kind} {what} in {o.family}"] += 1
    return "\nworst classes\n" + "\n".join(
        f"  {k:5d}  {name}" for name, k in classes.most_common(15)
    )


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
        seconds = {}
        for name, command in (("plain", plain), ("check", check)):
            runs = []
            for _ in range(5):
                start = time.perf_counter()
                subprocess.run(command, cwd=root, capture_output=True, check=False)
                runs.append(time.perf_counter() - start)
            seconds[name] = min(runs)
    ratio = seconds["check"] / seconds["plain"]
    return f"cold check {seconds['check'] * 1e3:.0f} ms, import sympy, lark {seconds['plain'] * 1e3:.0f} ms: ratio {ratio:.2f}  (≤ 3)"


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
            f"expected: line {t.line} {t.kind}{' or ' + '/'.join(t.also) if t.also else ''}, term {marks}  ({t.what})"
        )
    else:
        out.append("expected: a right working")
    out.append(f"got:      {o.said}")
    if o.unread_lines:
        out += [f"unread:   {u}" for u in o.unread_lines]
    return "\n".join(out)


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
        "--kind", default="all", help="all, right, any (one fault), sets, or one of the kinds"
    )
    parser.add_argument("--show-misses", type=int, default=0)
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
    for o in misses[: options.show_misses]:
        case = build(o.number, options)
        if case is not None:
            print(show(case, o), end="\n\n")
    print(
        f"{len(done)} workings of {options.n} asked, seed {options.seed}, {len(FAMILIES)} families, {len(STYLES)} styles\n"
    )
    print(table(done))
    warm = [o.seconds for o in done[5:]] or [0.0]
    print(
        f"\nthroughput {len(warm) / max(sum(warm), 1e-9):.0f} workings/s a core (≥ 30), slowest {max(warm) * 1e3:.0f} ms, "
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
