"""The reader's network: convolutions, attention with local mixing, two CTC streams.

A line (B, 1, 80, W) gives two score maps (B, W / 2, tokens): columns of two pixels, and the
columns of four pixels (B, W / 4, width) that the decoder looks at; and the same columns before the
last layers of attention, by which reading compares the signs of a page (`own_hand.py`). Widths are
multiples of 32. Normalisation layers are folded into their convolutions for export.
"""

import torch
from torch import Tensor, nn
from torch.nn import functional as fn

from verifier.reading.hand_tokens import tokens
from verifier.reading.training.decoder import Decoder


class Block(nn.Module):
    """Two 3 × 3 convolutions with a way around them."""

    def __init__(self, channels: int) -> None:
        super().__init__()
        self.one = nn.Conv2d(channels, channels, 3, padding=1, bias=False)
        self.two = nn.Conv2d(channels, channels, 3, padding=1, bias=False)
        self.norm_one = nn.BatchNorm2d(channels)
        self.norm_two = nn.BatchNorm2d(channels)

    def forward(self, x: Tensor) -> Tensor:
        """Return x with what the block adds to it."""
        inner = fn.relu(self.norm_one(self.one(x)))
        return fn.relu(x + self.norm_two(self.two(inner)))


def _down(a: int, b: int, stride: tuple[int, int]) -> nn.Sequential:
    return nn.Sequential(
        nn.Conv2d(a, b, 3, stride=stride, padding=1, bias=False), nn.BatchNorm2d(b), nn.ReLU()
    )


class Mixer(nn.Module):
    """Attention over the whole line, a local convolution, and a feed-forward step."""

    def __init__(self, width: int, heads: int, reach: int, drop: float) -> None:
        super().__init__()
        self.heads = heads
        self.norm_a, self.norm_c = nn.LayerNorm(width), nn.LayerNorm(width)
        self.norm_f = nn.LayerNorm(width)
        self.qkv = nn.Linear(width, 3 * width)
        self.out = nn.Linear(width, width)
        self.local = nn.Conv1d(width, width, reach, padding=reach // 2, groups=width)
        self.wide = nn.Linear(width, 3 * width)
        self.narrow = nn.Linear(3 * width, width)
        self.drop = nn.Dropout(drop)

    def forward(self, x: Tensor) -> Tensor:
        """Return columns (B, T, width) that know of each other."""
        x = x + fn.silu(self.local(self.norm_c(x).transpose(1, 2)).transpose(1, 2))
        x = x + self.drop(self.out(self._attend(self.norm_a(x))))
        return x + self.drop(self.narrow(fn.silu(self.wide(self.norm_f(x)))))

    def _attend(self, x: Tensor) -> Tensor:
        b, t, w = x.shape
        size = w // self.heads
        q, k, v = self.qkv(x).chunk(3, dim=2)
        q, k, v = (p.reshape(b, t, self.heads, size).transpose(1, 2) for p in (q, k, v))
        if torch.onnx.is_in_onnx_export():
            scores = torch.softmax(q @ k.transpose(2, 3) * size**-0.5, dim=3)
            mixed = scores @ v
        else:
            mixed = fn.scaled_dot_product_attention(q, k, v)
        return mixed.transpose(1, 2).reshape(b, t, w)


class Head(nn.Module):
    """Scores of one stream: what sign + what level + what is particular to the pair."""

    def __init__(self, width: int, stream: int) -> None:
        super().__init__()
        held = tokens(stream)
        signs = {s: i for i, s in enumerate(sorted({t.sign for t in held if t}))}
        levels = 1 + max(t.level for t in held if t)
        self.pair = nn.Linear(width, len(held))
        self.sign = nn.Linear(width, len(signs) + 1)
        self.level = nn.Linear(width, levels + 1)
        self.register_buffer("sign_of", torch.tensor([signs[t.sign] + 1 if t else 0 for t in held]))
        self.register_buffer("level_of", torch.tensor([t.level + 1 if t else 0 for t in held]))
        nn.init.zeros_(self.pair.weight)

    def merged(self) -> tuple[Tensor, Tensor]:
        """Return the one weight and bias that the three layers amount to."""
        weight = (
            self.pair.weight + self.sign.weight[self.sign_of] + self.level.weight[self.level_of]
        )
        bias = self.pair.bias + self.sign.bias[self.sign_of] + self.level.bias[self.level_of]
        return weight, bias

    def forward(self, x: Tensor) -> Tensor:
        """Return scores (B, T, tokens)."""
        return fn.linear(x, *self.merged())


class Reader(nn.Module):
    """The whole network."""

    def __init__(
        self, width: int = 288, layers: int = 8, heads: int = 9, reach: int = 11, drop: float = 0.1,
        shaped: int = 5,
    ) -> None:  # fmt: skip
        super().__init__()
        self.shaped = shaped  # layers behind which the shapes are taken
        self.look = nn.Sequential(
            _down(1, 32, (2, 2)),
            Block(32),
            _down(32, 64, (2, 2)),
            Block(64),
            Block(64),
            _down(64, 128, (2, 1)),
            Block(128),
            Block(128),
            _down(128, 192, (2, 1)),
            Block(192),
        )
        self.fold = nn.Linear(192 * 5, width)
        self.mixers = nn.ModuleList(Mixer(width, heads, reach, drop) for _ in range(layers))
        self.finer = nn.Linear(width, 2 * width)
        self.norm = nn.LayerNorm(width)
        self.upper, self.lower = Head(width, 0), Head(width, 1)
        self.decoder = Decoder(width)

    def forward(self, x: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        """Return the scores of both streams of lines (B, 1, 80, W), and their columns."""
        upper, lower, columns, _ = self.everything(x)
        return upper, lower, columns

    def everything(self, x: Tensor) -> tuple[Tensor, Tensor, Tensor, Tensor]:
        """Return these and, as fine as the columns, the shapes by which a page's signs compare."""
        seen = self.look(x)
        b, c, h, t = seen.shape
        shapes = columns = self.fold(seen.permute(0, 3, 1, 2).reshape(b, t, c * h))
        for n, mixer in enumerate(self.mixers, 1):
            columns = mixer(columns)
            if n == self.shaped:
                shapes = columns
        width = columns.shape[2]
        fine = self.norm(self.finer(columns).reshape(b, 2 * t, width))
        return self.upper(fine), self.lower(fine), columns, shapes
