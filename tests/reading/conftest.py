"""What the tests of reading share: the camera, the printer, and one photographed page."""

import numpy as np
import pytest
from camera import Photo, Shot, photograph
from printed import LINES, SIZE, Printed, Style, compose


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
