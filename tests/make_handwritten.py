"""Handwritten sample pages: `python tests/make_handwritten.py --data FOLDER [NAME …]`.

Each sample's typed working is written in one hand that the reader's training never saw, on paper,
and photographed through the camera model of camera.py. FOLDER holds `library.npz` (see the
training recipe). Composed from real pen strokes, not written and photographed by a person.
"""

import argparse
import re
import sys
from pathlib import Path
from random import Random

import cv2
import numpy as np

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "benchmarks")]
from camera import draw_shot, photograph, tidy  # noqa: E402
from people import PAPERS, People  # noqa: E402

from verifier.reading.training.library import Library  # noqa: E402

SAMPLES = {
    "gangway": 16, "davit": 2, "slip-hoist": 6, "boom-bracket": 9, "dock-beam": 0, "rack-truss": 4,
}  # fmt: skip
WIDTH, HEIGHT = 1700, 2300
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


def markup(line: str) -> str:
    """Return a typed line in the composer's markup."""
    line = line.replace("−", "-").replace("–", "-").replace("⟲", "↺").replace("⟳", "↻")
    line = re.sub("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+", lambda m: f"^{{{m.group().translate(_RAISED)}}}", line)
    line = re.sub(r"_([A-Za-z0-9]+)", r"_{\1}", line)
    line = re.sub(r" ([=+≈-]) ", r"\1", line)
    return " ".join(line.split())


def page(people: People, lines: list[str], rng: Random) -> np.ndarray:
    """Return a flat page (H, W) with the lines written one below the other."""
    sheet = np.full((HEIGHT, WIDTH), 243, np.uint8)
    step = 2300 / (max(len(lines), 13) + 3)
    rule = people.size * 1.7
    if people.paper != "blank":
        for y in np.arange(90, HEIGHT, rule):
            cv2.line(sheet, (0, int(y)), (WIDTH, int(y)), 214, 2, cv2.LINE_AA)
    if people.paper == "squared":
        for x in np.arange(40, WIDTH, rule):
            cv2.line(sheet, (int(x), 0), (int(x), HEIGHT), 214, 2, cv2.LINE_AA)
    for row, line in enumerate(lines):
        if not line:
            continue
        strokes = people.write(markup(line))
        wide = max(float(s[:, 0].max()) for s in strokes) * people.size
        shrink = min(1.0, (WIDTH - 230) / wide)
        strokes = [s * np.float32(shrink) for s in strokes]
        y = 150 + (row + 0.5) * step + rng.gauss(0, 4)
        ink = people.ink(strokes, (HEIGHT, WIDTH), 100 + rng.uniform(0, 40), y)
        sheet = (sheet * (1 - 0.8 * ink)).astype(np.uint8)
    return sheet


def main() -> None:
    """Write the pages."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--seed", type=int, default=None)
    parser.add_argument("names", nargs="*", default=list(SAMPLES))
    given = parser.parse_args()
    library = Library(given.data / "library.npz")
    for name in given.names:
        seed = SAMPLES.get(name, 0) if given.seed is None else given.seed
        for kind in ("right", "faulty"):
            people = People(library, "unseen writers", PAPERS[seed % 3], seed)
            people.size = 44.0
            rng = Random(seed)
            text = (ROOT / "samples" / name / f"{kind}.txt").read_text(encoding="utf-8")
            sheet = page(people, text.split("\n"), rng)
            shot = tidy(draw_shot(seed + 40, 0.6), size=(1650, 2200), quality=78, quarter=0)
            out = ROOT / "samples" / name / f"{kind}-hand.jpg"
            out.write_bytes(photograph(sheet, shot).jpeg())


if __name__ == "__main__":
    main()
