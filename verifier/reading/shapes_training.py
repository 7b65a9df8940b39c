"""How `shapes.npz` was made: printed glyphs drawn from free fonts, blurred, and a network fitted.

Run `python -m verifier.reading.shapes_training FONT_FOLDER… --out shapes.npz` with the extra
`train` (jax and Pillow) and these Debian packages' fonts: fonts-dejavu, fonts-liberation,
fonts-freefont-ttf, fonts-lato, fonts-lmodern, fonts-texgyre, fonts-noto-core, fonts-noto-mono,
fonts-stix, fonts-hack, fonts-firacode, fonts-croscore, fonts-inconsolata, fonts-ebgaramond,
fonts-roboto-unhinted, fonts-gfs-didot, fonts-junicode, fonts-cmu, fonts-symbola. Kept apart for
the test and never used here: Carlito, Caladea, Open Sans, JetBrains Mono, Linux Libertine,
Courier Prime, Cantarell. Half an hour of two cores is plenty; no writing of anybody is in it.
"""

import argparse
import functools
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from verifier.reading import shapes
from verifier.reading.shapes import Array, Metrics

_WANTED = re.compile(
    r"DejaVu(Sans|Serif)(Mono|Condensed)?(-(Bold|Oblique|Italic|BoldOblique|BoldItalic))?\.|"
    r"Liberation(Sans|Serif|Mono|SansNarrow)-|Free(Sans|Serif|Mono)|Lato-(Regular|Italic|Bold|"
    r"Medium|BoldItalic)\.|lm(roman|sans|mono)(10|12|9)-(regular|italic|bold|bolditalic|oblique)\.|"
    r"texgyre(termes|heros|pagella|schola|bonum|cursor|adventor)-(regular|italic|bold)\.|"
    r"Noto(Sans|Serif|SansMono|SansDisplay|SerifDisplay)-(Regular|Italic|Bold)\.|NotoMono|"
    r"STIX(General|GeneralItalic|GeneralBol|GeneralBolIta)\.|Hack-|FiraCode-(Regular|Bold|Light)|"
    r"(Arimo|Tinos|Cousine)-(Regular|Italic|Bold)\.|Inconsolata|EBGaramond12-(Regular|Italic)|"
    r"Roboto(Condensed)?-(Regular|Italic|Bold|Light)\.|GFSDidot|Junicode-(Regular|Italic|Bold)\.|"
    r"cmun(rm|ti|bx|ss|tt|bi|si)\."
)
_SIGNS = re.compile(r"DejaVuSans\.|DejaVuSerif\.|DejaVuSansMono\.|Symbola|FreeSerif\.|FreeSans\.|"
                    r"NotoSansMath|STIXGeneral\.|latinmodern-math")  # fmt: skip
_ALSO: dict[str, str] = {
    "Σ": "Σ∑", "Δ": "Δ∆", "Ω": "ΩΩ", "φ": "φϕ", "θ": "θϑ", "ε": "εϵ", "−": "−–−–−—", "-": "-‐",
    "·": "·∙⋅•", "'": "'’′‘", '"': '"”“″', "↺": "↺⟲↶", "↻": "↻⟳↷", "⇒": "⇒⟹", "→": "→⟶",
    "μ": "μµ", "✓": "✓✔", "°": "°˚", "*": "*∗", "~": "~∼", "|": "|∣", "√": "√",
}  # fmt: skip
_PLAIN = frozenset("−=+.,:()/_T1LIFEJ")
_RAISED = {"−": "⁻", "1": "¹", "2": "²", "3": "³"}
_DROPPED = {str(i): chr(0x2080 + i) for i in range(10)}


@functools.cache
def _font(path: str, size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(path, size)


@functools.cache
def _has(path: str, char: str) -> bool:
    probe = _font(path, 40)
    glyph, missing = probe.getmask(char), probe.getmask("\U0010fffd")
    same = glyph.size == missing.size and bytes(glyph) == bytes(missing)
    return not same and bool(glyph.getbbox())


@functools.cache
def _cap(path: str) -> float:
    """Return the height of a capital for a type size of 1."""
    top, low = _font(path, 200).getbbox("H", anchor="ls")[1::2]
    return float(low - top) / 200


def font_files(folders: list[str]) -> tuple[list[str], list[str]]:
    """Return the text fonts and the sign fonts found under the folders."""
    every = sorted(str(f) for folder in folders for f in Path(folder).rglob("*.[to]tf"))
    text = [f for f in every if _WANTED.match(Path(f).name) and _has(f, "8") and _has(f, "R")]
    signs = [f for f in every if _SIGNS.match(Path(f).name)]
    return text, signs


def _draw(path: str, text: str, size: float) -> tuple[Array, float]:
    """Draw text; return ink `(H, W)` 0…1 and the row of its baseline."""
    face = _font(path, max(8, round(size)))
    wide = int(face.getlength(text) + 2.4 * size) + 8
    high, base = int(3.2 * size), 2.0 * size
    picture = Image.new("L", (wide, high), 0)
    ImageDraw.Draw(picture).text((1.1 * size, base), text, 255, face, anchor="ls")
    return np.asarray(picture, np.float32) / np.float32(255), base


def _degrade(rng: np.random.Generator, ink: Array, scale: float) -> Array:
    """Shrink a glyph drawn `scale` times too large and blur it as a camera does."""
    high, wide = ink.shape
    lean, slope = rng.normal(0, 0.02), rng.normal(0, 0.008)
    move = np.array(
        [[1 / scale, lean / scale, rng.random()], [slope / scale, 1 / scale, rng.random()]],
        np.float32,
    )
    ink = cv2.GaussianBlur(ink, (0, 0), max(0.3, 0.4 * scale))
    size = (int(wide / scale) + 2, int(high / scale) + 2)
    small = cv2.warpAffine(ink, move, size, flags=cv2.INTER_LINEAR)
    small = cv2.GaussianBlur(small, (0, 0), float(rng.uniform(0.3, 1.4)))
    if rng.random() < 0.5:
        small = small + 0.5 * (small - cv2.GaussianBlur(small, (0, 0), 1.5))
    grain = rng.standard_normal(small.shape, dtype=np.float32)
    if rng.random() < 0.5:
        grain = cv2.GaussianBlur(grain, (0, 0), 0.7) * 1.6
    small = small * rng.uniform(0.85, 1.35) + grain * rng.uniform(0.0, 0.09)
    return np.clip(small, 0, 1).astype(np.float32)


def sample(
    rng: np.random.Generator, text: list[str], signs: list[str]
) -> tuple[Array, Array, int, int] | None:
    """Draw one glyph: its crop, its place, its class and its script; None where it has no ink."""
    label = int(rng.integers(len(shapes.GLYPHS) + 45))
    junk = label >= shapes.JUNK
    label = min(label, shapes.JUNK)
    path = str(rng.choice(text))
    chars = _pair(rng) if junk else _variant(rng, shapes.GLYPHS[label])
    able = junk or shapes.GLYPHS[label] in shapes.SCRIPTABLE
    script = int(rng.choice(3, p=(0.74, 0.17, 0.09))) if able else 0
    shrink = 1.0 if script == 0 else float(rng.uniform(0.55, 0.8))
    if script and not junk and rng.random() < 0.3:
        ready = (_DROPPED if script == 1 else _RAISED).get(chars)
        if ready and _has(path, ready):
            return _finish(rng, path, ready, label, script, 1.0, 0.0)
    if not all(_has(path, char) for char in chars):
        lending = [sign for sign in signs if all(_has(sign, char) for char in chars)]
        if not lending:
            return None
        path = str(rng.choice(lending))
    shift = 0.0
    if script:
        shift = -float(rng.uniform(0.12, 0.35)) if script == 1 else float(rng.uniform(0.3, 0.62))
    return _finish(rng, path, chars, label, script, shrink, shift)


def _finish(
    rng: np.random.Generator, path: str, chars: str, label: int, script: int, shrink: float,
    shift: float,
) -> tuple[Array, Array, int, int] | None:  # fmt: skip
    """Draw, blur, box and place; `shift` is how far up, in capitals, the script stands."""
    cap = float(rng.uniform(18, 40))
    scale = 2.0
    ink, base = _draw(path, chars, cap / _cap(path) * shrink * scale)
    small = _degrade(rng, ink, scale)
    base = base / scale
    box = _box(small, float(rng.uniform(0.28, 0.5)))
    if box is None:
        return None
    if label == shapes.JUNK and (len(chars) == 1 or rng.random() < 0.25):
        if len(chars) == 1 and chars in _PLAIN:
            return None  # half of a bar is a bar
        box = _part(rng, box)
        if box is None:
            return None
    crop = shapes.crop(small, box)
    line = Metrics(base + shift * cap + rng.normal(0, 0.03) * cap, cap * rng.normal(1, 0.05))
    return crop, shapes.place(box, line if rng.random() < 0.75 else None), label, script


def _variant(rng: np.random.Generator, glyph: str) -> str:
    also = _ALSO.get(glyph, glyph)
    return str(also[int(rng.integers(len(also)))])


def _pair(rng: np.random.Generator) -> str:
    common = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZxysincotakmrhfd=+−.,:()/°_{}αβθφ"
    count = int(rng.choice([1, 2, 2, 2, 3]))
    return "".join(common[int(rng.integers(len(common)))] for _ in range(count))


def _part(
    rng: np.random.Generator, box: tuple[int, int, int, int]
) -> tuple[int, int, int, int] | None:
    x, y, w, h = box
    cut = int(w * rng.uniform(0.3, 0.75))
    if cut < 2 or w - cut < 2:
        return None
    return (x, y, cut, h) if rng.random() < 0.5 else (x + cut, y, w - cut, h)


def _box(ink: Array, level: float) -> tuple[int, int, int, int] | None:
    count, _, stats, _ = cv2.connectedComponentsWithStats((ink > level).astype(np.uint8))
    stats = stats[1:count]
    stats = stats[stats[:, cv2.CC_STAT_AREA] >= 4]
    if not len(stats):
        return None
    x, y = int(stats[:, 0].min()), int(stats[:, 1].min())
    right = int((stats[:, 0] + stats[:, 2]).max())
    low = int((stats[:, 1] + stats[:, 3]).max())
    return x, y, right - x, low - y


def samples(count: int, seed: int, folders: list[str]) -> tuple[Array, ...]:
    """Draw `count` glyphs: crops `(N, S, S)`, places `(N, F)`, classes `(N,)`, scripts `(N,)`."""
    text, signs = font_files(folders)
    if not text or not signs:
        raise SystemExit("no fonts found")
    rng = np.random.default_rng(seed)
    drawn: list[tuple[Array, Array, int, int]] = []
    while len(drawn) < count:
        one = sample(rng, text, signs)
        if one is not None:
            drawn.append(one)
    crops, places, labels, scripts = zip(*drawn, strict=True)
    return (
        np.stack(crops), np.stack(places), np.array(labels, np.int32), np.array(scripts, np.int32)
    )  # fmt: skip


def fit(parts: list[tuple[Any, ...]], passes: int, seed: int) -> dict[str, Array]:
    """Fit the network by Adam on cross-entropy of glyph and script; return its numbers."""
    import jax
    import jax.numpy as jnp

    crops, places, labels, scripts = (np.concatenate(column) for column in zip(*parts, strict=True))
    rng = np.random.default_rng(seed)
    numbers = {k: jnp.asarray(v) for k, v in _start(rng).items()}

    def out(p: dict[str, Any], x: Any, place: Any, key: Any) -> Any:
        for layer in ("1", "2"):
            x = jax.lax.conv_general_dilated(
                x, p["conv" + layer], (2, 2), "SAME", dimension_numbers=("NHWC", "HWIO", "NHWC")
            )
            x = jnp.maximum(x + p["bias" + layer], 0)
        flat = jnp.concatenate([x.reshape(x.shape[0], -1), place], axis=1)
        dense = jnp.maximum(flat @ p["dense"] + p["bias3"], 0)
        keep = jax.random.bernoulli(key, 0.8, dense.shape)
        return jnp.where(keep, dense / 0.8, 0) @ p["out"] + p["bias4"]

    def loss(p: Any, x: Any, place: Any, label: Any, script: Any, key: Any) -> Any:
        both = out(p, x[..., None], place, key)
        glyph = jax.nn.log_softmax(both[:, : len(shapes.GLYPHS)])
        level = jax.nn.log_softmax(both[:, len(shapes.GLYPHS) :])
        rows = jnp.arange(len(label))
        return -(glyph[rows, label] + 0.3 * place[:, -1] * level[rows, script]).mean()

    @jax.jit
    def step(p: Any, m: Any, v: Any, t: Any, rate: Any, key: Any, *batch: Any) -> Any:
        value, grad = jax.value_and_grad(loss)(p, *batch, key)
        m = jax.tree.map(lambda a, g: 0.9 * a + 0.1 * g, m, grad)
        v = jax.tree.map(lambda a, g: 0.999 * a + 0.001 * g * g, v, grad)
        p = jax.tree.map(
            lambda w, a, b: (
                w - rate * (a / (1 - 0.9**t)) / (jnp.sqrt(b / (1 - 0.999**t)) + 1e-8)
            ),
            p, m, v,
        )  # fmt: skip
        return p, m, v, value

    m = jax.tree.map(jnp.zeros_like, numbers)
    v = jax.tree.map(jnp.zeros_like, numbers)
    size, t = 256, 0
    steps = passes * (len(labels) // size)
    for _ in range(passes):
        order = rng.permutation(len(labels))
        losses = []
        for i in range(0, len(order) - size + 1, size):
            t += 1
            pick = order[i : i + size]
            rate = 2e-3 * min(1.0, t / 200) * 0.5 * (1 + np.cos(np.pi * t / steps)) + 1e-5
            batch = (crops[pick], places[pick], labels[pick], scripts[pick])
            key = jax.random.key(t)
            numbers, m, v, value = step(numbers, m, v, float(t), float(rate), key, *batch)
            losses.append(value)
        sys.stderr.write(f"loss {float(np.mean(np.array(losses))):.4f}\n")
    return {name: np.asarray(value) for name, value in numbers.items()}


def _start(rng: np.random.Generator) -> dict[str, Array]:
    outs = len(shapes.GLYPHS) + len(shapes.SCRIPTS)
    flat = (shapes.SIDE // 4) ** 2 * 48 + shapes.FEATURES

    def normal(*shape: int) -> Array:
        fan = int(np.prod(shape[:-1]))
        return (rng.standard_normal(shape) * np.sqrt(2 / fan)).astype(np.float32)

    return {
        "conv1": normal(5, 5, 1, 24), "bias1": np.zeros(24, np.float32),
        "conv2": normal(3, 3, 24, 48), "bias2": np.zeros(48, np.float32),
        "dense": normal(flat, 192), "bias3": np.zeros(192, np.float32),
        "out": normal(192, outs), "bias4": np.zeros(outs, np.float32),
    }  # fmt: skip


def _rounds(count: int, seed: int, folders: list[str]) -> Iterator[tuple[Any, ...]]:
    for part in range(max(1, count // 40_000)):
        yield samples(min(count, 40_000), seed + part, folders)


def main() -> None:
    """Draw, fit and store; the arguments are told by `--help`."""
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("folders", nargs="+")
    reader.add_argument("--count", type=int, default=320_000)
    reader.add_argument("--passes", type=int, default=8)
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--out", required=True)
    asked = reader.parse_args()
    parts = list(_rounds(asked.count, asked.seed, asked.folders))
    numbers = fit(parts, asked.passes, asked.seed)
    halves: dict[str, Any] = {k: v.astype(np.float16) for k, v in numbers.items()}
    np.savez_compressed(asked.out, **halves)


if __name__ == "__main__":
    main()
