"""How `shapes.npz` was made: the glyphs of `shapes_drawing.py`, and a network fitted to them.

Run `python -m verifier.reading.shapes_training FONT_FOLDER… --out shapes.npz` with the extra
`train` and the Debian packages of fonts named in `shapes_drawing.py`. Half an hour of two cores is
plenty; no writing of anybody is in it.

The numbers that ship were fitted in two runs: 8 passes over 320 000 glyphs of fewer fonts and
tamer blur, then `--start shapes.npz --count 320000 --passes 3` over the glyphs as they are drawn
now (13 fonts kept apart). Of 6 000 glyphs drawn anew in fonts that it knows, 91.4 % were told right
before the second run and 95.1 % after it.
"""

import argparse
import sys
from collections.abc import Iterator
from typing import Any

import numpy as np

from verifier.reading import shapes
from verifier.reading.shapes import Array
from verifier.reading.shapes_drawing import samples

_BATCH = 512
_RATE = 2e-3
_WIDTHS = (24, 48, 192)  # of the two convolutions and of the dense layer


def fit(parts: list[tuple[Any, ...]], passes: int, seed: int, start: str = "") -> dict[str, Array]:
    """Fit the network by AdamW on cross-entropy of glyph and script; return its numbers.

    `start` names stored numbers to go on from. What is returned is a running mean over the last
    steps, which tells unseen fonts better.
    """
    import torch
    from torch.nn import functional

    crops, places, labels, scripts = (
        torch.from_numpy(np.concatenate(column)) for column in zip(*parts, strict=True)
    )
    torch.manual_seed(seed)
    begun = _stored(torch, start) if start else _start(torch)
    rate = _RATE / 2 if start else _RATE
    own = {name: torch.nn.Parameter(value) for name, value in begun.items()}
    mean = {name: value.detach().clone() for name, value in own.items()}
    steps = passes * (len(labels) // _BATCH)
    push = torch.optim.AdamW(own.values(), lr=rate, weight_decay=1e-2)
    pace = torch.optim.lr_scheduler.OneCycleLR(push, rate, total_steps=steps, pct_start=0.06)
    count, done = len(shapes.GLYPHS), 0
    for _ in range(passes):
        order, losses = torch.randperm(len(labels)), 0.0
        for pick in order.split(_BATCH)[: len(labels) // _BATCH]:
            picture = crops[pick].float() / (255 if crops.dtype == torch.uint8 else 1)
            place = places[pick]
            both = _out(own, picture[:, None], place, functional)
            glyph = functional.cross_entropy(both[:, :count], labels[pick].long())
            level = functional.cross_entropy(
                both[:, count:], scripts[pick].long(), reduction="none"
            )
            loss = glyph + 0.3 * (place[:, -1] * level).mean()
            push.zero_grad()
            loss.backward()
            push.step()
            pace.step()
            done += 1
            keep = min(0.999, done / (done + 10))
            for name, value in own.items():
                mean[name].mul_(keep).add_(value.detach(), alpha=1 - keep)
            losses += float(loss)
        sys.stderr.write(f"loss {losses * _BATCH / len(labels):.4f}\n")
    return _for_numpy(mean)


def _start(torch: Any) -> dict[str, Any]:
    one, two, dense = _WIDTHS
    outs = len(shapes.GLYPHS) + len(shapes.SCRIPTS)
    flat = (shapes.SIDE // 4) ** 2 * two + shapes.FEATURES
    sizes = {
        "conv1": (one, 1, 5, 5), "conv2": (two, one, 3, 3), "dense": (dense, flat),
        "out": (outs, dense),
    }  # fmt: skip
    found = {
        name: torch.randn(size) * (2 / np.prod(size[1:])) ** 0.5 for name, size in sizes.items()
    }
    wide = {"bias1": one, "bias2": two, "bias3": dense, "bias4": outs}
    return found | {name: torch.zeros(size) for name, size in wide.items()}


def _stored(torch: Any, path: str) -> dict[str, Any]:
    """Return stored numbers in torch's order."""
    turned = {"conv1": (3, 2, 0, 1), "conv2": (3, 2, 0, 1), "dense": (1, 0), "out": (1, 0)}
    with np.load(path, allow_pickle=False) as stored:
        return {
            name: torch.from_numpy(value.astype(np.float32)).permute(
                *turned.get(name, (0,))
            ).contiguous()
            for name, value in stored.items()
            if name != "warmth"
        }  # fmt: skip


def _out(p: dict[str, Any], x: Any, place: Any, functional: Any) -> Any:
    """Run the network as `shapes.tell` does, with some of its dense layer dropped."""
    pad, conv, relu = functional.pad, functional.conv2d, functional.relu
    x = relu(conv(pad(x, (1, 2, 1, 2)), p["conv1"], p["bias1"], 2))
    x = relu(conv(pad(x, (0, 1, 0, 1)), p["conv2"], p["bias2"], 2))
    flat = x.permute(0, 2, 3, 1).flatten(1)
    joined = functional.pad(flat, (0, place.shape[1])) + functional.pad(place, (flat.shape[1], 0))
    dense = functional.dropout(relu(functional.linear(joined, p["dense"], p["bias3"])), 0.25)
    return functional.linear(dense, p["out"], p["bias4"])


def _for_numpy(mean: dict[str, Any]) -> dict[str, Array]:
    """Return the numbers in the order in which `shapes` takes them."""
    turned = {"conv1": (2, 3, 1, 0), "conv2": (2, 3, 1, 0), "dense": (1, 0), "out": (1, 0)}
    return {
        name: np.ascontiguousarray(value.permute(*turned[name]) if name in turned else value)
        for name, value in mean.items()
    }


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
    reader.add_argument("--start", default="", help="numbers to go on from")
    reader.add_argument("--out", required=True)
    asked = reader.parse_args()
    parts = list(_rounds(asked.count, asked.seed, asked.folders))
    numbers = fit(parts, asked.passes, asked.seed, asked.start)
    halves: dict[str, Any] = {k: v.astype(np.float16) for k, v in numbers.items()}
    np.savez_compressed(asked.out, **halves)


if __name__ == "__main__":
    main()
