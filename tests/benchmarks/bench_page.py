"""Measures whole photographed pages: is the verdict that of the typed twin, and honest if not?

python tests/benchmarks/bench_page.py [--print 40] [--hand 40] [--data FOLDER] [--seed 900]
    [--hardness 1.0] [--half 0|1] [--fonts NAME.ttf,…] [--alone] [--show]

Workings and sheets come from the generator of this folder, which is blind to checking. Pages are
printed in fonts that the glyph network was not trained on where the machine has them, or written
in hands that the reader never saw (`library.npz` in FOLDER, see `verifier/reading/training`), and
(`--half 0`: in those on which doubt is fitted, 1: in the others), and
photographed by the camera model of `tests/camera.py` at 12 megapixels: composed from real pen
strokes and fonts, not photographed by people. `--alone` reads the same pages with Tesseract alone.
Pages are read and judged in a process of their own, so that its memory is its own.
"""

# ruff: noqa: T201  (a command that prints its table)

from __future__ import annotations

import argparse
import math
import multiprocessing
import os
import resource
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as reading sets it, were it loaded first
sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(1, str(Path(__file__).resolve().parents[1]))
sys.path.insert(2, str(Path(__file__).resolve().parents[2]))

from bench_print import bare, distance, fonts
from generator.case import Case
from judging_outcomes import build


@dataclass(frozen=True)
class Said:
    """What was made of one page, plain enough to come from another process.

    `lines` are (status, text); `seconds` of reading and judging, `memory` the process's largest so
    far in MB.
    """

    verdict: str
    fault: str
    lines: tuple[tuple[str, str], ...]
    seconds: float
    memory: float
    message: str = ""


@dataclass
class Tally:
    """Counts of one kind of page."""

    counts: Counter[str] = field(default_factory=Counter)
    signs: int = 0
    errors: int = 0
    seconds: list[float] = field(default_factory=list)
    memory: float = 0.0

    def share(self, part: str, of: str) -> str:
        """Return a share in per cent with its 95 % interval (Wilson)."""
        hit, total = self.counts[part], self.counts[of]
        low, high = wilson(hit, total)
        return f"{100 * hit / max(1, total):6.1f} %  [{100 * low:4.1f}, {100 * high:5.1f}]"


def wilson(hit: int, total: int, z: float = 1.96) -> tuple[float, float]:
    """Return the 95 % interval of a share by Wilson's score."""
    if not total:
        return 0.0, 1.0
    p, n = hit / total, float(total)
    middle = (p + z * z / (2 * n)) / (1 + z * z / n)
    reach = z / (1 + z * z / n) * math.sqrt(p * (1 - p) / n + z * z / (4 * n * n))
    return max(0.0, middle - reach), min(1.0, middle + reach)


def judge(sheet: str, working: str | Path) -> Said:
    """Read and judge a page (in the other process)."""
    from verifier import check

    start = time.perf_counter()
    result = check(sheet, working)
    seconds = time.perf_counter() - start
    first = result.first_fault
    lines = tuple((v.status, v.text) for v in result.lines)
    return Said(
        result.verdict, first.kind if first else "", lines, seconds, peak(),
        f"line {first.line}: {first.message}" if first else "",
    )  # fmt: skip


def peak() -> float:
    """Return this process's largest memory in MB: its own, not that of the process it came from."""
    status = Path("/proc/self/status")
    if status.exists():
        held = next(row for row in status.read_text().splitlines() if row.startswith("VmHWM"))
        return int(held.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def alone(sheet: str, photo: Path) -> Said:
    """Judge what Tesseract by itself makes of a page."""
    import pytesseract
    from PIL import Image

    start = time.perf_counter()
    with Image.open(photo) as picture:
        text = str(pytesseract.image_to_string(picture.convert("L"), config="--oem 1 --psm 6"))
    said = judge(sheet, text + "\n")
    return Said(said.verdict, said.fault, said.lines, time.perf_counter() - start, said.memory)


def count(tally: Tally, case: Case, typed: Said, seen: Said) -> str:
    """Add one page to a tally; say in a word how it ended."""
    tally.counts["pages"] += 1
    tally.seconds.append(seen.seconds)
    tally.memory = max(tally.memory, seen.memory)
    for line in filter(str.strip, case.working.splitlines()):
        off = [distance(bare(text), bare(line)) for _, text in seen.lines]
        tally.signs += len(bare(line))
        tally.errors += min([*off, len(bare(line))])
    if (seen.verdict, seen.fault) == (typed.verdict, typed.fault):
        how = "same"
    else:
        how = "undecided" if seen.verdict == "undecided" else "other"
    tally.counts[how] += 1
    tally.counts["both"] += how != "other"
    if case.truth is None:
        tally.counts["right"] += 1
        tally.counts["accused"] += seen.verdict == "fault"
    return "ACCUSED" if case.truth is None and seen.verdict == "fault" else how


def report(name: str, tally: Tally, full: bool = True) -> None:
    """Print one kind's rows."""
    print(f"{name}: {tally.counts['pages']} pages")
    print(f"  character error            {100 * tally.errors / max(1, tally.signs):6.2f} %")
    print(f"  same verdict as typed      {tally.share('same', 'pages')}   (≥ 80)")
    print(f"  honestly undecided         {tally.share('undecided', 'pages')}   (≤ 15)")
    print(f"  the two together           {tally.share('both', 'pages')}   (≥ 95)")
    print(
        f"  right pages accused        {tally.share('accused', 'right')}   (≤ 1)  "
        f"{tally.counts['accused']} of {tally.counts['right']}"
    )
    if full and tally.seconds:
        ordered = sorted(tally.seconds)
        middle = ordered[len(ordered) // 2]
        print(f"  seconds a page, median     {middle:6.2f}    slowest {ordered[-1]:.2f}   (≤ 2.5)")
        print(f"  peak memory                {tally.memory:6.0f} MB   (≤ 600)")


def cases(asked: argparse.Namespace) -> list[Case]:
    """Draw workings of a page's length; nobody prints the source of LaTeX."""
    wanted = argparse.Namespace(seed=asked.seed, kind="all", family="", style="", hands="all")
    found: list[Case] = []
    number = 0
    while len(found) < 2 * max(asked.print, asked.hand) + 10:
        case = build(number, wanted)
        number += 1
        if case is not None and len(case.working.splitlines()) <= 30 and "\\" not in case.working:
            found.append(case)
    return found


def run(asked: argparse.Namespace, kind: str, folder: Path) -> None:
    """Photograph, read and judge the pages of one kind, and print its rows."""
    from pages import handwritten_page, printed_page

    there, how = fonts(asked.fonts)
    if kind == "hand":
        from verifier.reading.training.library import Library

        library = Library(asked.data / "library.npz")
        how = "hands unseen in training"
    tally, other, left_out = Tally(), Tally(), 0
    most = asked.print if kind == "print" else asked.hand
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        for number, case in enumerate(cases(asked)):
            if tally.counts["pages"] >= most:
                break
            seed, words = asked.seed + number, case.working.splitlines()
            try:
                if kind == "print":
                    shot, what = printed_page(words, seed, there, asked.hardness), ""
                    what = Path(there[seed % len(there)]).stem
                else:
                    shot, what = handwritten_page(library, words, seed, asked.hardness, asked.half)
            except (ValueError, KeyError):
                left_out += 1
                continue
            file = folder / f"{kind}{number}.jpg"
            file.write_bytes(shot)
            typed = pool.apply(judge, (case.sheet, case.working))
            seen = pool.apply(judge, (case.sheet, file))
            end = count(tally, case, typed, seen)
            if asked.alone:
                count(other, case, typed, pool.apply(alone, (case.sheet, file)))
            if asked.show:
                tell(number, what, end, case, typed, seen)
    report(f"{kind} ({how})", tally)
    if left_out:
        print(f"  left out, for want of room or signs: {left_out}")
    if asked.alone:
        report("the same, Tesseract alone", other, full=False)


def tell(number: int, what: str, end: str, case: Case, typed: Said, seen: Said) -> None:
    """Show how a page ended, with every line that was not read as it was written."""
    print(f"-- {number} {what}: {end}; typed {typed.verdict} {typed.fault}, "
          f"photo {seen.verdict} {seen.fault} {seen.message}")  # fmt: skip
    for line in filter(str.strip, case.working.splitlines()):
        near = min(seen.lines, key=lambda one: distance(bare(one[1]), bare(line)), default=None)
        if near is None or bare(near[1]) != bare(line) or near[0] in ("undecided", "unread"):
            print(f"   {line}\n   {near[1] if near else ''}   [{near[0] if near else ''}]")


def main() -> None:
    """Run the benchmark."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--print", type=int, default=40)
    parser.add_argument("--hand", type=int, default=40)
    parser.add_argument("--data", type=Path, default=None)
    parser.add_argument("--seed", type=int, default=900)
    parser.add_argument("--hardness", type=float, default=1.0)
    parser.add_argument("--half", type=int, choices=(0, 1), default=None)
    parser.add_argument("--fonts", default="")
    parser.add_argument("--alone", action="store_true")
    parser.add_argument("--show", action="store_true")
    asked = parser.parse_args()
    if asked.data is None:
        asked.hand = 0
    with tempfile.TemporaryDirectory() as folder:
        for kind in ("print", "hand"):
            if vars(asked)[kind]:
                run(asked, kind, Path(folder))


if __name__ == "__main__":
    main()
