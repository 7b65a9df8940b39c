"""Photograph printed pages of two samples: python tests/samples/take_photos.py

Each working is printed on a page and photographed through the camera model of `tests/camera.py`
(perspective, curl, shadow, blur, noise), as a phone sends it on: 3 megapixels, saved as JPEG.
"""

import sys
from pathlib import Path

TESTS = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(TESTS))

import camera  # noqa: E402 (the folder of the tests is no package)
import printed  # noqa: E402

SHOTS = {"slip-hoist": 3, "gangway": 10}
"""The samples that are photographed, each with the seed of its camera."""

SIZE = (1500, 2000)
QUALITY = 62


def take(working: Path, seed: int) -> Path:
    """Print a typed working, photograph the page, and return the picture's path."""
    page = printed.compose(working.read_text(encoding="utf-8").splitlines())
    shot = camera.tidy(camera.draw_shot(seed), size=SIZE, quality=QUALITY, blur=0.6, shake=0.0)
    to = working.with_suffix(".jpg")
    to.write_bytes(camera.photograph(page.pixels, shot).jpeg())
    return to


if __name__ == "__main__":
    for name, seed in SHOTS.items():
        for kind in ("right", "faulty"):
            print(take(TESTS.parent / "samples" / name / f"{kind}.txt", seed))
