"""A small attention decoder over the encoder's columns: it says a line's tokens one by one.

It is trained beside the CTC streams and at reading time only judges whole readings that these
offer (`verifier/reading/hand_decoder.py` is the same network in numpy). A line is said as one row
of numbers: the upper stream, a parting mark, the lower stream, the end.
"""

import torch
from torch import Tensor, nn
from torch.nn import functional as fn

from verifier.reading.hand_decoder import waves_of
from verifier.reading.hand_image import WIDEST
from verifier.reading.hand_tokens import END, LONGEST, PARTING, tokens

NOISE = 0.1


class Layer(nn.Module):
    """Attention to what was said, attention to the columns, a feed-forward step."""

    def __init__(self, width: int, heads: int, wide: int, drop: float) -> None:
        super().__init__()
        self.heads = heads
        self.norm_a, self.norm_c = nn.LayerNorm(width), nn.LayerNorm(width)
        self.norm_f = nn.LayerNorm(width)
        self.qkv, self.out = nn.Linear(width, 3 * width), nn.Linear(width, width)
        self.ask, self.seen = nn.Linear(width, width), nn.Linear(width, 2 * width)
        self.told = nn.Linear(width, width)
        self.wide, self.narrow = nn.Linear(width, wide), nn.Linear(wide, width)
        self.drop = nn.Dropout(drop)

    def forward(self, x: Tensor, columns: Tensor) -> Tensor:
        """Return x (B, L, width) with what the layer adds, columns being (B, T, width)."""
        q, k, v = (self._parted(p) for p in self.qkv(self.norm_a(x)).chunk(3, dim=2))
        own = fn.scaled_dot_product_attention(q, k, v, is_causal=True)
        x = x + self.drop(self.out(_whole(own)))
        q = self._parted(self.ask(self.norm_c(x)))
        k, v = (self._parted(p) for p in self.seen(columns).chunk(2, dim=2))
        x = x + self.drop(self.told(_whole(fn.scaled_dot_product_attention(q, k, v))))
        return x + self.drop(self.narrow(fn.silu(self.wide(self.norm_f(x)))))

    def _parted(self, x: Tensor) -> Tensor:
        b, t, w = x.shape
        return x.reshape(b, t, self.heads, w // self.heads).transpose(1, 2)


def _whole(x: Tensor) -> Tensor:
    b, h, t, s = x.shape
    return x.transpose(1, 2).reshape(b, t, h * s)


class Decoder(nn.Module):
    """Scores of what comes next in a line, given its columns and what was said so far."""

    def __init__(
        self, seen: int, width: int = 144, layers: int = 3, heads: int = 6, wide: int = 384,
        drop: float = 0.1,
    ) -> None:  # fmt: skip
        super().__init__()
        signs, levels = _parts()
        self.register_buffer("sign_of", torch.tensor(signs))
        self.register_buffer("level_of", torch.tensor(levels))
        self.bring = nn.Linear(seen, width)
        self.norm_seen = nn.LayerNorm(width)
        self.sign = nn.Embedding(max(signs) + 1, width)
        self.level = nn.Embedding(max(levels) + 1, width)
        waves = torch.from_numpy(waves_of(WIDEST // 4, width))
        self.register_buffer("waves", waves, persistent=False)
        self.place = nn.Parameter(torch.randn(LONGEST, width) * 0.02)
        self.layers = nn.ModuleList(Layer(width, heads, wide, drop) for _ in range(layers))
        self.norm = nn.LayerNorm(width)
        self.next_sign = nn.Linear(width, max(signs) + 1)
        self.next_level = nn.Linear(width, max(levels) + 1)
        self.own = nn.Parameter(torch.zeros(len(signs)))
        for table in (self.sign, self.level):
            nn.init.normal_(table.weight, std=0.1)

    def forward(self, columns: Tensor, before: Tensor) -> Tensor:
        """Return scores (B, L, numbers) for what follows each number of `before` (B, L)."""
        t, length = columns.shape[1], before.shape[1]
        held = self.norm_seen(self.bring(columns)) + self.waves[:t]
        known = self.sign.weight[self.sign_of] + self.level.weight[self.level_of]
        x = fn.one_hot(before, len(known)).to(held.dtype) @ known  # no slow sums over duplicates
        x = x + self.place[:length]
        for layer in self.layers:
            x = layer(x, held)
        sign, level = self.next_sign, self.next_level
        weight = sign.weight[self.sign_of] + level.weight[self.level_of]
        bias = sign.bias[self.sign_of] + level.bias[self.level_of] + self.own
        return fn.linear(self.norm(x), weight, bias)


def _parts() -> tuple[list[int], list[int]]:
    """Return each number's sign and level as rows of two tables."""
    every = [t for stream in (0, 1) for t in tokens(stream) if t]
    known = {s: i + 2 for i, s in enumerate(sorted({t.sign for t in every}))}
    upper = len(tokens(0)) - 1
    signs, levels = [END, PARTING], [0, 0]
    for i, t in enumerate(every):
        signs.append(known[t.sign])
        levels.append(1 + t.level + (0 if i < upper else 6))
    return signs, levels


def before_of(rows: Tensor, noise: float = 0.0) -> Tensor:
    """Return what stands before each number of rows (B, L): the end of the line before, then all.

    Of these a share `noise` is changed for others of the batch, so that the decoder looks at the
    ink rather than at what was said.
    """
    before = torch.cat([torch.full_like(rows[:, :1], END), rows[:, :-1]], dim=1).clamp_min(END)
    if noise:
        line = torch.randint(len(before), before.shape, device=before.device)
        place = torch.randint(min(12, before.shape[1]), before.shape, device=before.device)
        mixed = before[line, place]
        changed = torch.rand(before.shape, device=before.device) < noise
        changed[:, 0] = False
        before = torch.where(changed, mixed, before)
    return before


def cost_of(decoder: Decoder, columns: Tensor, rows: Tensor, noise: float = NOISE) -> Tensor:
    """Return the mean over lines of what a line's numbers cost in nats."""
    with torch.autocast(columns.device.type, torch.bfloat16, cache_enabled=False):
        scores = decoder(columns, before_of(rows, noise))
    cost = fn.cross_entropy(
        scores.flatten(0, 1).float(), rows.flatten(), ignore_index=-1, reduction="sum"
    )
    return cost / len(rows)
