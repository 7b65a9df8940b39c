"""Measures the reading of photographed printed pages (`bench_page.py` measures their judging).

python tests/benchmarks/bench_print.py [--pages 8] [--seed 500] [--hardness 1.0]
    [--fonts NAME.ttf,…] [--show]

Pages are printed with Pillow, in fonts that the glyph network was not trained on where the
machine has them, and photographed by the camera model of `tests/camera.py` at 12 megapixels:
composed, not photographed by people. Their lines are made up at random, in many habits.
"""

# ruff: noqa: T201  (a command that prints its table)

from __future__ import annotations

import argparse
import os
import re
import resource
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as reading sets it, were it loaded first
sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(1, str(Path(__file__).resolve().parents[1]))
sys.path.insert(2, str(Path(__file__).resolve().parents[2]))

from pages import printed_page
from printed import font_path
from scribble import Scribbler

UNSEEN = (
    "Carlito-Regular.ttf", "Caladea-Regular.ttf", "OpenSans-Regular.ttf",
    "JetBrainsMono-Regular.ttf", "LinLibertine_R.otf", "Cantarell-Regular.otf",
    "Courier Prime.otf", "CharisSIL-Regular.ttf", "Vollkorn-Regular.ttf", "mononoki-Regular.ttf",
    "Cabin-Regular.otf", "OldStandard-Regular.ttf", "Quattrocento-Regular.otf",
)  # fmt: skip
SEEN = ("DejaVuSans.ttf", "DejaVuSerif.ttf", "LiberationSerif-Regular.ttf")


def fonts(asked: str) -> tuple[list[str], str]:
    """The fonts to print with, and in words whether the network knows them."""
    wanted = asked.split(",") if asked else list(UNSEEN)
    there = []
    for name in wanted:
        try:
            there.append(font_path(name))
        except FileNotFoundError:
            continue
    if there:
        return there, "as asked" if asked else "unseen in training"
    return [font_path(name) for name in SEEN], "known to the network: no unseen one is installed"


_ALIKE = str.maketrans("-–∙•*⟹↶↷⟲⟳∑", "−−···⇒↺↻↺↻Σ")  # signs that mean the same


def bare(text: str) -> str:
    """A line without spaces, scripts' dress and kinds of dash, for comparing."""
    text = text.removeprefix("# ").translate(_ALIKE)
    text = text.replace("^{−1}", "⁻¹").replace("^−1", "⁻¹")
    text = re.sub(r"(?<=[\w)° ])\s*[x·×]\s*(?=[\d(A-Z])", "×", text)
    return re.sub(r"[\s_{}^]", "", text)


def distance(a: str, b: str) -> int:
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


def reading(options: argparse.Namespace, there: list[str], folder: Path) -> None:
    """Rows on reading alone."""
    from verifier.reading import read_picture

    signs = errors = lines = right = sure = sure_wrong = 0
    spent, waited = 0.0, 0.0
    for number in range(options.pages):
        seed = options.seed + number
        true = Scribbler(seed).lines(20)
        file = folder / f"page{number}.jpg"
        file.write_bytes(printed_page(true, seed, there, options.hardness))
        start, clock = time.process_time(), time.perf_counter()
        found = read_picture(file).lines
        spent += time.process_time() - start
        waited += time.perf_counter() - clock
        for line in true:
            near = min(found, key=lambda one: distance(bare(one.text), bare(line)), default=None)
            off = distance(bare(near.text) if near else "", bare(line))
            signs, errors, lines = signs + len(bare(line)), errors + off, lines + 1
            right += off == 0
            certain = near is not None and near.confidence >= 0.95
            sure += certain
            sure_wrong += certain and off > 0
            if off and options.show:
                font = Path(there[seed % len(there)]).stem
                print(f"  {line!r}\n  {near.text if near else ''!r}  {font}{' SURE' * certain}")
    pages = max(1, options.pages)
    print(f"character error              {100 * errors / max(1, signs):6.2f} %   of {signs}")
    print(f"whole lines right            {100 * right / max(1, lines):6.1f} %   of {lines}")
    print(f"lines called sure (≥ 0.95)   {100 * sure / max(1, lines):6.1f} %")
    print(f"  of these misread           {100 * sure_wrong / max(1, sure):6.1f} %   (≤ 1)")
    own = f"own work {spent / pages:.2f} s"
    print(f"a page of 20 lines, 12 Mpx   {waited / pages:6.2f} s   (≤ 2.5; {own})")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"memory, this process         {peak:6.0f} MB  (≤ 600; it also composes the pages)")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pages", type=int, default=8)
    parser.add_argument("--seed", type=int, default=500)
    parser.add_argument("--hardness", type=float, default=1.0)
    parser.add_argument("--fonts", default="")
    parser.add_argument("--show", action="store_true")
    options = parser.parse_args()
    there, how = fonts(options.fonts)
    print(f"fonts ({how}): {', '.join(Path(name).stem for name in there)}")
    with tempfile.TemporaryDirectory() as folder:
        reading(options, there, Path(folder))


if __name__ == "__main__":
    main()
