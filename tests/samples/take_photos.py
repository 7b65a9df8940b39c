"""Photograph printed pages of two samples: python tests/samples/take_photos.py

Each working is printed on a page and photographed through the camera model of `tests/camera.py`
(perspective, curl, shadow, blur, noise), as a phone would: 12 megapixels, saved as JPEG beside it.
"""

import sys
from pathlib import Path

from PIL import Image

TESTS = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(TESTS))

import camera  # noqa: E402 (the folder of the tests is no package)
import printed  # noqa: E402

SHOTS = {"slip-hoist": 3, "gangway": 10}
"""The samples that are photographed, each with the seed of its camera."""

QUALITY = 74


def take(working: Path, seed: int) -> Path:
    """Print a typed working, photograph the page, and return the picture's path."""
    page = printed.compose(working.read_text(encoding="utf-8").splitlines())
    photo = camera.photograph(page.pixels, camera.draw_shot(seed))
    to = working.with_suffix(".jpg")
    Image.fromarray(photo.pixels).save(to, quality=QUALITY, optimize=True)
    return to


if __name__ == "__main__":
    for name, seed in SHOTS.items():
        for kind in ("right", "faulty"):
            print(take(TESTS.parent / "samples" / name / f"{kind}.txt", seed))
