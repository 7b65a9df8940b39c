# ruff: noqa: T201  (a command that prints what it compared)
"""Holds the networks of training against those that reading runs; needs the extra `train`.

python tests/benchmarks/check_training.py

After retraining: prints the costs that `tests/reading/test_hand_decoder.py` holds, and ends with 1
where the decoder in numpy or the unfolded network computes otherwise.
"""

import sys
from pathlib import Path

import numpy as np
import torch

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "reading"))
sys.path.insert(1, str(Path(__file__).resolve().parents[2]))

from test_hand_decoder import SAID, columns
from test_hand_reader import EXPECTED, image

from verifier.reading.hand_image import prepare
from verifier.reading.hand_tokens import spoken
from verifier.reading.hand_weights import WEIGHTS, decoder, network
from verifier.reading.training.decoder import Decoder, before_of
from verifier.reading.training.feed import said
from verifier.reading.training.unfold import told, unfolded


def decoder_gap() -> float:
    """Return how far the decoder's costs of lines are from those of training."""
    net = Decoder(288).eval()
    net.load_state_dict(told(WEIGHTS / "decoder.npz"))
    lines = [spoken(*parts) for parts in SAID]
    seen = columns()
    with torch.no_grad():
        both = torch.from_numpy(seen)[None].expand(len(lines), -1, -1)
        logs = net(both, before_of(said(lines))).log_softmax(2)
    costs = [-sum(float(logs[i, k, n]) for k, n in enumerate(line)) for i, line in enumerate(lines)]
    print("costs by training:", [round(cost, 4) for cost in costs])
    found = decoder().costs(decoder().look(seen), lines)
    return max(abs(a - b) for a, b in zip(costs, found, strict=True))


def network_gap() -> float:
    """Return how far the scores of the unfolded network are from those of the shipped one."""
    pictures = [prepare(image(name)).picture for name in sorted(EXPECTED)[:3]]
    width = min(picture.shape[1] for picture in pictures) // 32 * 32
    batch = torch.from_numpy(np.stack([picture[:, :width] for picture in pictures]))
    net = unfolded(WEIGHTS / "reader.onnx", [batch]).eval()
    with torch.no_grad():
        found = net.everything(batch[:1, None])
    shipped = network().scores(batch[0].numpy())
    gaps = (np.abs(o[0].numpy() - t).max() for o, t in zip(found, shipped, strict=True))
    return float(max(gaps))


if __name__ == "__main__":
    gaps = decoder_gap(), network_gap()
    print(f"decoder {gaps[0]:.4f} (≤ 0.01), network {gaps[1]:.4f} (≤ 0.1)")
    sys.exit(gaps[0] > 0.01 or gaps[1] > 0.1)
