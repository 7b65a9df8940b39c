"""A phone camera as a model: a page lying on a table, photographed; the same seed, the same photo.

Nothing here is drawn from a real photograph: table, light, lens and sensor are composed. What it
leaves out (real paper fibres, hands, wet ink, lens flare) is said wherever figures are quoted.
"""

import io
from dataclasses import dataclass, replace

import cv2
import numpy as np
from PIL import Image

Array = np.ndarray
TABLES = ("dark", "wood", "cloth", "stone", "light")
_LONG, _SHORT = 4000, 3000


@dataclass(frozen=True)
class Shot:
    """How a page was photographed.

    `tilt` is the largest foreshortening of a side as a part of it, `turn` the slope in degrees,
    `curl` the largest rise of the paper as a part of its height, `fill` the part of the frame's
    width that the page takes (over 1: the frame cuts the page's edges off), `shadow` the depth of
    the shadow and `falloff` of the light across the frame (0 to 1), `blur` the lens blur in
    pixels, `shake` the length of a motion smear in pixels, `noise` the sensor's in grey levels,
    `quarter` how often the frame is turned by 90°, `exif` whether that turn is only noted.
    """

    seed: int = 0
    table: str = "wood"
    tilt: float = 0.05
    turn: float = 1.5
    curl: float = 0.008
    fill: float = 0.88
    shadow: float = 0.3
    falloff: float = 0.25
    blur: float = 1.0
    shake: float = 0.0
    noise: float = 4.0
    tint: float = 0.05
    quality: int = 86
    quarter: int = 0
    exif: bool = False
    size: tuple[int, int] = (_SHORT, _LONG)


def draw_shot(seed: int, hardness: float = 1.0) -> Shot:
    """Draw a shot as a careless but sane person takes it; `hardness` 0 is a tidy one."""
    rng = np.random.default_rng([seed, 71])
    h = hardness
    return Shot(
        seed=seed,
        table=str(rng.choice(TABLES)),
        tilt=float(rng.uniform(0, 0.11) * h),
        turn=float(rng.normal(0, 2.0) * h),
        curl=float(rng.uniform(0, 0.014) * h),
        fill=float(rng.uniform(0.78, 0.95)),
        shadow=float(rng.uniform(0, 0.5) * h),
        falloff=float(rng.uniform(0.05, 0.45) * h),
        blur=float(rng.uniform(0.6, 0.8 + 0.9 * h)),
        shake=float(rng.choice([0, 0, 2.5]) * h),
        noise=float(rng.uniform(2, 3 + 5 * h)),
        tint=float(rng.uniform(-0.08, 0.08)),
        quality=int(rng.integers(78, 94)),
    )


@dataclass(frozen=True)
class Photo:
    """A photograph: pixels `(H, W, 3)` BGR as stored, and where page points fell on it."""

    pixels: Array
    shot: Shot
    _page_to_frame: Array
    _page_size: tuple[int, int]

    def jpeg(self) -> bytes:
        """Return the photograph as JPEG bytes, with the EXIF turn where the shot notes one."""
        picture = Image.fromarray(cv2.cvtColor(self.pixels, cv2.COLOR_BGR2RGB))
        out = io.BytesIO()
        exif = Image.Exif()
        if self.shot.exif and self.shot.quarter:
            exif[0x0112] = {1: 6, 2: 3, 3: 8}[self.shot.quarter % 4]
        picture.save(out, "JPEG", quality=self.shot.quality, exif=exif.tobytes())
        return out.getvalue()

    def place(self, points: Array) -> Array:
        """Map points `(N, 2)` of the flat page to the upright frame (before any turn)."""
        width, height = self._page_size
        flat = np.asarray(points, float)
        lifted = flat.copy()
        lifted[:, 1] -= _rise(flat[:, 0] / width, flat[:, 1] / height, self.shot) * height
        hom = np.c_[lifted, np.ones(len(lifted))] @ self._page_to_frame.T
        return hom[:, :2] / hom[:, 2:]


def photograph(page: Array, shot: Shot) -> Photo:
    """Photograph a flat page `(H, W)` or `(H, W, 3)` BGR, uint8."""
    if page.ndim == 2:
        page = cv2.cvtColor(page, cv2.COLOR_GRAY2BGR)
    rng = np.random.default_rng([shot.seed, 5])
    height, width = page.shape[:2]
    to_frame = _homography(width, height, shot, rng)
    paper, cover = _project(page, to_frame, shot)
    frame = _table(shot, rng)
    edge = cv2.GaussianBlur(cover, (0, 0), 1.0)[..., None]
    drop = cv2.GaussianBlur(np.roll(cover, (14, 9), (0, 1)), (0, 0), 18)[..., None]
    frame = frame * (1 - 0.35 * drop)
    frame = frame * (1 - edge) + paper * edge
    frame = _develop(frame * _light(shot, rng), shot, rng)
    turned = np.ascontiguousarray(np.rot90(frame, shot.quarter))
    return Photo(turned, shot, to_frame, (width, height))


def tidy(shot: Shot, **changes: object) -> Shot:
    """Return the shot with some of its fields changed."""
    return replace(shot, **changes)  # type: ignore[arg-type]


def _homography(width: int, height: int, shot: Shot, rng: np.random.Generator) -> Array:
    frame_w, frame_h = shot.size
    scale = min(shot.fill * frame_w / width, (shot.fill + 0.05) * frame_h / height)
    half = np.array([width, height]) * scale / 2
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half
    lean_x, lean_y = rng.uniform(-1, 1, 2) * shot.tilt
    if shot.tilt:
        lean_y = np.copysign(max(abs(lean_y), shot.tilt * 0.6), lean_y)
    depth = 1 + lean_y * corners[:, 1] / half[1] + lean_x * corners[:, 0] / half[0]
    corners = corners * depth[:, None]
    angle = np.radians(shot.turn)
    spin = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    corners = corners @ spin.T
    free = np.maximum(0, (np.array(shot.size) - np.ptp(corners, axis=0)) / 2)
    centre = np.array(shot.size) / 2 + rng.uniform(-0.6, 0.6, 2) * free
    corners = corners - (corners.max(0) + corners.min(0)) / 2 + centre
    page = np.array([[0, 0], [width, 0], [width, height], [0, height]], np.float32)
    return cv2.getPerspectiveTransform(page, corners.astype(np.float32))


def _rise(u: Array, v: Array, shot: Shot) -> Array:
    """How far, in page heights, the paper's curl moves a point upwards in the picture."""
    rng = np.random.default_rng([shot.seed, 9])
    phase, skew = rng.uniform(0, 0.6), rng.uniform(-0.5, 0.5)
    wave = np.sin(np.pi * (u * (1 + phase) - phase / 2)) + 0.35 * np.sin(2 * np.pi * u + phase)
    return shot.curl * wave * (0.6 + 0.4 * v + skew * (v - 0.5))


def _project(page: Array, to_frame: Array, shot: Shot) -> tuple[Array, Array]:
    frame_w, frame_h = shot.size
    height, width = page.shape[:2]
    back = np.linalg.inv(to_frame)
    xs, ys = np.meshgrid(np.arange(frame_w, dtype=np.float32), np.arange(frame_h, dtype=np.float32))
    under = back[2, 0] * xs + back[2, 1] * ys + back[2, 2]
    px = ((back[0, 0] * xs + back[0, 1] * ys + back[0, 2]) / under).astype(np.float32)
    py = ((back[1, 0] * xs + back[1, 1] * ys + back[1, 2]) / under).astype(np.float32)
    flat_y = py + (_rise(px / width, py / height, shot) * height).astype(np.float32)
    flat_y = py + (_rise(px / width, flat_y / height, shot) * height).astype(np.float32)
    shrink = width / (np.linalg.norm(to_frame[:2, 0]) * width / abs(to_frame[2, 2]))
    if shrink > 1.2:  # the sensor averages over its pixel
        page = cv2.GaussianBlur(page, (0, 0), 0.35 * shrink)
    paper = cv2.remap(page, px, flat_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    inside = (px >= 0) & (px < width) & (flat_y >= 0) & (flat_y < height)
    return paper.astype(np.float32), inside.astype(np.float32)


def _noise(rng: np.random.Generator, size: tuple[int, int], grain: tuple[int, int]) -> Array:
    """Return smooth noise `(H, W)` in 0…1 whose blobs are about `grain` pixels."""
    small = rng.random((size[1] // grain[1] + 3, size[0] // grain[0] + 3)).astype(np.float32)
    return cv2.resize(small, size, interpolation=cv2.INTER_CUBIC)


def _table(shot: Shot, rng: np.random.Generator) -> Array:
    size = shot.size
    grain = _noise(rng, size, (300, 300))
    fine = _noise(rng, size, (3, 3))
    match shot.table:
        case "wood":
            streak = _noise(rng, size, (900, 9)) * 0.6 + _noise(rng, size, (400, 30)) * 0.4
            value, hue = 70 + 70 * streak + 20 * grain, (0.55, 0.78, 1.0)
        case "cloth":
            xs, ys = np.arange(size[0])[None, :], np.arange(size[1])[:, None]
            check = ((xs // 130) % 2) * 55 + ((ys // 130) % 2) * 55
            value, hue = 60 + check + 25 * fine, (0.9, 0.7, 0.95)
        case "stone":
            value, hue = 85 + 60 * _noise(rng, size, (18, 18)) + 30 * fine, (1.0, 1.0, 0.98)
        case "light":
            value, hue = 150 + 18 * grain + 8 * fine, (0.85, 0.93, 1.0)
        case _:
            value, hue = 38 + 22 * grain + 6 * fine, (1.0, 0.95, 0.92)
    return value.astype(np.float32)[..., None] * np.array(hue, np.float32)


def _light(shot: Shot, rng: np.random.Generator) -> Array:
    """Return the light's strength `(H, W, 3)` around 1: fall-off, a hand's shadow, a tint."""
    frame_w, frame_h = shot.size
    small_w, small_h = frame_w // 10, frame_h // 10
    xs, ys = np.meshgrid(np.linspace(-1, 1, small_w), np.linspace(-1, 1, small_h))
    angle = rng.uniform(0, 2 * np.pi)
    across = xs * np.cos(angle) + ys * np.sin(angle)
    light = 1 - shot.falloff * (0.5 + 0.35 * across) - 0.12 * shot.falloff * (xs**2 + ys**2)
    edge = rng.uniform(-0.5, 0.9)
    bend = 0.15 * np.sin(3 * (ys * np.cos(angle) - xs * np.sin(angle)) + rng.uniform(0, 6))
    dark = (across + bend > edge).astype(np.float32)
    dark = cv2.GaussianBlur(dark, (0, 0), float(rng.uniform(2, 12)))
    light = (light * (1 - shot.shadow * dark)).astype(np.float32)
    light = cv2.resize(light, (frame_w, frame_h), interpolation=cv2.INTER_LINEAR)
    colour = np.array([1 - shot.tint, 1.0, 1 + shot.tint], np.float32)
    return light[..., None] * colour * np.float32(0.97)


def _develop(frame: Array, shot: Shot, rng: np.random.Generator) -> Array:
    if shot.blur > 0:
        frame = cv2.GaussianBlur(frame, (0, 0), shot.blur)
    if shot.shake >= 1:
        frame = cv2.filter2D(frame, -1, _smear(shot.shake, rng.uniform(0, np.pi)))
    grain = rng.standard_normal(frame.shape[:2], dtype=np.float32)[..., None]
    colour = rng.standard_normal(frame.shape, dtype=np.float32)
    frame = frame + shot.noise * (0.8 * grain + 0.5 * colour) * np.sqrt(0.3 + frame / 255)
    # A phone sharpens what it takes: halos beside strokes are part of the picture.
    frame = frame + 0.4 * (frame - cv2.GaussianBlur(frame, (0, 0), 1.6))
    return np.clip(frame, 0, 255).astype(np.uint8)


def _smear(length: float, angle: float) -> Array:
    size = int(length) * 2 + 1
    kernel = np.zeros((size, size), np.float32)
    middle = np.array([size // 2, size // 2])
    reach = np.array([np.cos(angle), np.sin(angle)]) * length / 2
    start, end = np.round(middle - reach).astype(int), np.round(middle + reach).astype(int)
    cv2.line(kernel, start.tolist(), end.tolist(), 1.0)
    return kernel / kernel.sum()
