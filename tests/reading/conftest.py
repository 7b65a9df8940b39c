"""What the tests of reading share: the camera, the printer, and one photographed page."""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))

from camera import Photo, Shot, photograph
from printed import Printed, Style, compose

SIZE = (1800, 2400)
LINES = [
    "# Slip hoist bracket, sheet 2",
    "Joint Q",
    "ΣF_y = 0:  PQ sin 22.62° − 6 = 0",
    "PQ = 6/sin 22.62° = 15.6 kN (T)",
    "ΣF_x = 0 →+:  −QR − PQ cos 22.62° + 2.5 = 0",
    "∴ QR = 2.5 − 15.6·0.923 = −11.9 kN (C)",
    "Whole structure",
    "↺+ ΣM_P = 0:  S_x(1.0) − 6 × 2.4 + 2.5(1.0) = 0",
    "S_x = (14.4 − 2.5)/1.0 = 11.9 kN →",
    "θ = tan⁻¹(1.0/2.4) = 22.62°",
]


@pytest.fixture(scope="session")
def printed_page() -> Printed:
    return compose(LINES, Style(font="DejaVuSerif.ttf", points=13, size=(2000, 2600), dpi=240))


@pytest.fixture(scope="session")
def photographed(printed_page: Printed) -> Photo:
    shot = Shot(seed=5, table="wood", tilt=0.06, turn=2.0, curl=0.008, size=SIZE, blur=0.7)
    return photograph(printed_page.pixels, shot)


@pytest.fixture(scope="session")
def rng() -> np.random.Generator:
    return np.random.default_rng(4)
