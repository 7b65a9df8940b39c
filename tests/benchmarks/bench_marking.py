# ruff: noqa: T201  (a command that prints its table)
"""Measures bulk marking on piles that the code under test has no part in making.

python tests/benchmarks/bench_marking.py [--typed 300] [--photos 6] [--growth 100,1000,10000]
    [--real] [--kills 20] [--marks 400] [--workers 1,2] [--seed 7]

Prints scripts a second for typed and photographed scripts by number of workers, the memory of a
worker, how cost and memory grow with the pile, what random kills (SIGKILL) lose or double, and
how often a planted fault costs what the usual practice takes off.
Growth is that of the marking's own cost: each different working is checked once a worker, unless
`--real` checks every script anew (minutes). 0 leaves a part out.
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import random
import resource
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(1, str(Path(__file__).resolve().parents[2]))
sys.path.insert(2, str(Path(__file__).resolve().parents[1]))

from generator.case import make_case
from generator.every import FAMILIES
from generator.faults import PLANTS

from verifier.findings import Result
from verifier.marking.awarding import award
from verifier.marking.commands import mark
from verifier.marking.desk import DESK, Desk, DeskPlan, open_desk
from verifier.marking.options import MarkOptions
from verifier.marking.pool import resident
from verifier.marking.scheme_file import scheme_of
from verifier.reading.lines import Reading

FAMILY = "parallel_truss" if "parallel_truss" in FAMILIES else next(iter(FAMILIES))


@dataclass(frozen=True)
class Pile:
    """One sheet and different workings of it."""

    sheet: str
    workings: tuple[str, ...]


def make_pile(seed: int, size: int = 60) -> Pile:
    """Right and faulty workings of ONE figure, in the styles of many people."""
    figure = FAMILIES[FAMILY]
    FAMILIES["one"] = lambda rng: figure(random.Random(f"figure {seed}"))
    rng = random.Random(seed)
    sheets: dict[str, list[str]] = {}
    number = 0
    while max((len(found) for found in sheets.values()), default=0) < size and number < 40 * size:
        number += 1
        kind = None if rng.random() < 0.4 else rng.choice(list(PLANTS))
        case = make_case(seed, kind, "one", number=number)
        if case is not None:
            sheets.setdefault(case.sheet, []).append(case.working)
    sheet, workings = max(sheets.items(), key=lambda one: len(one[1]))
    return Pile(sheet, tuple(workings))


def lay(pile: Pile, folder: Path, count: int) -> tuple[Path, Path]:
    """Write `count` scripts; each differs from every other in a line of prose."""
    sheet, scripts = folder / "figure.given", folder / "scripts"
    scripts.mkdir(parents=True)
    sheet.write_text(pile.sheet, encoding="utf-8")
    for number in range(count):
        text = pile.workings[number % len(pile.workings)]
        (scripts / f"s{number:06}.txt").write_text(f"Candidate {number}\n{text}", encoding="utf-8")
    return sheet, scripts


def lay_photos(pile: Pile, folder: Path, count: int, seed: int) -> tuple[Path, Path]:
    """Write `count` scripts as photographs of printed pages, 12 megapixels."""
    from camera import draw_shot, photograph
    from printed import compose

    sheet, scripts = folder / "figure.given", folder / "scripts"
    scripts.mkdir(parents=True)
    sheet.write_text(pile.sheet, encoding="utf-8")
    plain = [
        text
        for text in pile.workings
        if "\\" not in text and "$" not in text and text.count("\n") < 36
    ]
    for number in range(count):
        page = compose(plain[number % len(plain)].splitlines())
        photo = photograph(page.pixels, draw_shot(seed + number))
        (scripts / f"s{number:03}.jpg").write_bytes(photo.jpeg())
    return sheet, scripts


class Memory(threading.Thread):
    """Watches the workers of this process: the most that one of them held, in MB."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.most, self.ours, self.done = 0.0, 0.0, threading.Event()

    def run(self) -> None:
        while not self.done.wait(0.05):
            self.ours = max(self.ours, resident(os.getpid()))
            for child in multiprocessing.active_children():
                self.most = max(self.most, resident(child.pid))


def cpu() -> float:
    """CPU seconds of this process and of its ended workers: nearly the same on a busy machine."""
    return sum(
        one.ru_utime + one.ru_stime
        for one in map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    )


def timed(
    sheet: Path, scripts: Path, workers: int, opener: str = DESK
) -> tuple[float, float, float, float]:
    """Mark a pile from nothing: seconds, CPU seconds, the most MB of a worker, of the parent."""
    shutil.rmtree(scripts / "_marks", ignore_errors=True)
    memory = Memory()
    memory.start()
    start, used = time.perf_counter(), cpu()
    mark(sheet, scripts, MarkOptions(workers=workers, quiet=True), opener=opener)
    seconds, used = time.perf_counter() - start, cpu() - used
    memory.done.set()
    memory.join()
    return seconds, used, memory.most, memory.ours


def usual_loss(kind: str | None) -> float:
    """What the usual practice takes off for one fault where items have a method and an answer mark.

    Nothing for rounding, the answer for a slip, method and answer for a wrong set of forces.
    """
    if kind in (None, "rounding"):
        return 0.0
    return 2.0 if kind in ("missing-force", "extra-force") else 1.0


def marks_as_usual(count: int, seed: int) -> None:
    """Mark right workings and such with one planted fault; compare with what it should cost."""
    rng = random.Random(seed)
    exact: Counter[str] = Counter()
    tried: Counter[str] = Counter()
    for number in range(count):
        kind = None if number % 4 == 0 else rng.choice(list(PLANTS))
        case = make_case(seed, kind, number=number)
        if case is None:
            continue
        desk = DeskPlan(case.sheet, "sheet").open()
        score = award(desk.check(case.working), scheme_of(desk.structure))
        tried[kind or "right"] += 1
        exact[kind or "right"] += score.out_of - score.total == usual_loss(kind)
    for kind in sorted(tried):
        print(f"marks          {kind:14} {exact[kind]:5} of {tried[kind]:5} as usual", flush=True)
    whole = sum(exact.values()) / max(1, sum(tried.values()))
    print(
        f"marks          all            {whole:6.1%} of {sum(tried.values())} as usual", flush=True
    )


def speeds(what: str, sheet: Path, scripts: Path, count: int, crews: list[int]) -> None:
    for workers in crews:
        seconds, used, worker, parent = timed(sheet, scripts, workers)
        print(
            f"{what:14} {count:7} scripts {workers} workers  {count / seconds:8.2f} scripts/s"
            f"  {1000 * used / count:6.1f} ms CPU each  worker {worker:4.0f} MB"
            f"  parent {parent:4.0f} MB",
            flush=True,
        )


def open_once(sheet: str, **options: bool) -> Desk:
    """A desk that checks each different working once: what is left is the marking's own cost."""
    desk = open_desk(sheet, **options)
    known: dict[str, Result] = {}

    def check(working: Path | str | Reading) -> Result:
        text = working.read_text(encoding="utf-8") if isinstance(working, Path) else str(working)
        text = text.partition("\n")[2]
        if text not in known:
            known[text] = desk.check(working)
        return known[text]

    return replace(desk, check=check)


def growth(pile: Pile, sizes: list[int], workers: int, folder: Path, opener: str) -> None:
    what = "growth" if opener == DESK else "growth, own"
    for size in sizes:
        sheet, scripts = lay(pile, folder / f"growth-{size}", size)
        seconds, used, worker, parent = timed(sheet, scripts, workers, opener)
        start = time.perf_counter()
        mark(sheet, scripts, MarkOptions(workers=workers, quiet=True), opener=opener)
        again = time.perf_counter() - start
        ledger = (scripts / "_marks" / "ledger.sqlite").stat().st_size
        print(
            f"{what:14} {size:7} scripts {workers} workers  {1000 * seconds / size:8.2f} ms, "
            f"{1000 * used / size:6.2f} ms CPU each  worker {worker:4.0f} MB  "
            f"parent {parent:4.0f} MB  run again {1000 * again / size:5.2f} ms each  "
            f"ledger {ledger / size / 1000:4.1f} kB each",
            flush=True,
        )
        shutil.rmtree(folder / f"growth-{size}")


def rows_of(scripts: Path) -> list[str]:
    """Return the names in a killed run's ledger, from a copy of its files."""
    with tempfile.TemporaryDirectory() as copy:
        for file in (scripts / "_marks").glob("ledger.sqlite*"):
            shutil.copy(file, copy)
        if not Path(copy, "ledger.sqlite").exists():
            return []
        base = sqlite3.connect(Path(copy, "ledger.sqlite"))
        try:
            return [name for (name,) in base.execute("SELECT name FROM scripts")]
        except sqlite3.OperationalError:
            return []  # killed before its tables were there
        finally:
            base.close()


def kills(pile: Pile, count: int, size: int, folder: Path, seed: int) -> None:
    """Kill runs at random moments until `count` have been killed, then end the last one."""
    rng = random.Random(seed)
    sheet, scripts = lay(pile, folder / "whole", size)
    mark(sheet, scripts, MarkOptions(workers=2, quiet=True, plain=True))
    wanted = {
        path.relative_to(scripts): path.read_bytes()
        for path in (scripts / "_marks").rglob("*")
        if path.is_file() and "ledger" not in path.name
    }
    command = [sys.executable, "-m", "verifier.cli", "mark"]
    lost = doubled = killed = rounds = differing = 0
    while killed < count:
        rounds += 1
        sheet, scripts = lay(pile, folder / f"killed-{rounds}", size)
        before: set[str] = set()
        while True:
            run = subprocess.Popen(
                [*command, str(sheet), str(scripts), "--quiet", "--plain", "--workers", "2"],
                cwd=Path(__file__).resolve().parents[2], stderr=subprocess.DEVNULL,
            )  # fmt: skip
            ended = killed >= count
            try:
                run.wait(None if ended else rng.uniform(0.1, 4.0))
                ended = True
            except subprocess.TimeoutExpired:
                run.send_signal(signal.SIGKILL)
                run.wait()
                killed += 1
            names = rows_of(scripts)
            lost += len(before - set(names))
            doubled += len(names) - len(set(names))
            before = set(names)
            if ended:
                break
        lost += size - len(before)
        differing += sum((scripts / path).read_bytes() != data for path, data in wanted.items())
    print(
        f"kills          {killed} at random points over {rounds} piles of {size}: "
        f"{lost} lost, {doubled} doubled, {differing} output files unlike an unkilled run's",
        flush=True,
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--typed", type=int, default=300)
    parser.add_argument("--photos", type=int, default=6)
    parser.add_argument("--growth", default="100,1000,10000")
    parser.add_argument("--real", action="store_true", help="growth: check every script anew")
    parser.add_argument("--kills", type=int, default=20)
    parser.add_argument("--marks", type=int, default=400)
    parser.add_argument("--workers", default="1,2")
    parser.add_argument("--seed", type=int, default=7)
    asked = parser.parse_args()
    crews = [int(each) for each in asked.workers.split(",")]
    sizes = [int(each) for each in asked.growth.split(",") if int(each)]
    pile = make_pile(asked.seed)
    lines = sum(text.count("\n") for text in pile.workings) / len(pile.workings)
    print(f"figure: {FAMILY}; {len(pile.workings)} different workings of {lines:.0f} lines")
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        if asked.typed:
            sheet, scripts = lay(pile, folder / "typed", asked.typed)
            speeds("typed", sheet, scripts, asked.typed, crews)
        if asked.photos:
            sheet, scripts = lay_photos(pile, folder / "photos", asked.photos, asked.seed)
            speeds("photographed", sheet, scripts, asked.photos, crews)
        growth(pile, sizes, max(crews), folder, DESK if asked.real else "bench_marking:open_once")
        if asked.marks:
            marks_as_usual(asked.marks, asked.seed)
        if asked.kills:
            kills(pile, asked.kills, 200, folder, asked.seed)


if __name__ == "__main__":
    main()
