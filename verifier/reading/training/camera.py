"""Ink → what a phone sees of it: pen, paper, light, lens and compression, on the training device.

Everything works on a batch of lines of one width, `(B, 80, W)` floats of 0 to 1, and draws its
own chances for each line. Nothing here moves ink by more than a few pixels.
"""

import math
from random import Random

import torch
from torch import Tensor
from torch.nn import functional as fn


def normalised(gray: Tensor) -> Tensor:
    """Return lines (B, H, W) as the reader sees them: paper at 0, the darkest ink about 1."""
    sample = gray[:, ::3, ::3].flatten(1)
    sample = sample.sort(dim=1).values
    count = sample.shape[1]
    paper, dark = sample[:, (count - 1) // 2], sample[:, round(0.02 * (count - 1))]
    reach = (paper - dark).clamp_min(0.06)
    return ((paper[:, None, None] - gray) / reach[:, None, None]).clamp(-0.5, 1.5)


class Camera:
    """Photographs batches of ink on papers (N, 320, 320) of 0 to 1."""

    def __init__(self, papers: Tensor, seed: int) -> None:
        flat = papers / papers.mean(dim=(1, 2), keepdim=True)
        self.papers = flat.clamp(0.3, 1.4)
        self.random = torch.Generator(device=papers.device)
        self.random.manual_seed(seed)
        self.dice = Random(seed)
        self.device = papers.device

    def _u(self, count: int, low: float = 0.0, high: float = 1.0) -> Tensor:
        drawn = torch.rand(count, 1, 1, generator=self.random, device=self.device)
        return drawn * (high - low) + low

    def _chosen(self, count: int, chance: float) -> Tensor:
        return (self._u(count) < chance).float()

    def _noise(self, *shape: int) -> Tensor:
        return torch.randn(*shape, generator=self.random, device=self.device)

    def _order(self, count: int) -> Tensor:
        return torch.rand(count, generator=self.random, device=self.device).argsort()

    @torch.no_grad()
    def photograph(self, ink: Tensor, views: int = 1) -> Tensor:
        """Return normalised pictures (views · B, 80, W) of ink (B, 80, W).

        Views of a line lie on the page alike, sign by sign; pen, paper, light and lens are each
        one's own.
        """
        ink = self._moved(ink).repeat(views, 1, 1)
        ink = self._penned(ink)
        gray = self._compressed(self._focused(self._lit(self._papered(ink))))
        plain = self._chosen(len(ink), 0.18)
        return normalised(torch.where(plain > 0, 1 - 0.8 * ink, gray))

    def _smooth_field(self, b: int, h: int, w: int, cell: int) -> Tensor:
        rough = self._noise(b, 1, max(2, h // cell + 1), max(2, w // cell + 1))
        return fn.interpolate(rough, (h, w), mode="bicubic", align_corners=True)[:, 0]

    def _moved(self, ink: Tensor) -> Tensor:
        """Warp by perspective, curl and a little elastic shake."""
        b, h, w = ink.shape
        ys = torch.linspace(-1, 1, h, device=self.device)[None, :, None]
        xs = torch.linspace(-1, 1, w, device=self.device)[None, None, :]
        some = self._chosen(b, 0.6)
        curl = self._smooth_field(b, 1, w, 160)[:, :1] * self._u(b, 0, 3.0) * some
        lean = self._u(b, -0.12, 0.12) * some
        stretch = 1 + self._u(b, -0.1, 0.1) * some
        tilt = self._u(b, -2.5, 2.5) * some
        gx = xs + lean * ys * h / w
        gy = ys * (stretch + 0.06 * xs * self._u(b, -1, 1)) + 2 * (curl + tilt * xs) / h
        shake = self._chosen(b, 0.6) * self._u(b, 0, 1) ** 2 * 2.1
        gx = gx + 2 * self._smooth_field(b, h, w, 20) * shake / w
        gy = gy + 2 * self._smooth_field(b, h, w, 20) * shake / h
        grid = torch.stack([gx.expand(b, h, w), gy.expand(b, h, w)], -1)
        return fn.grid_sample(
            ink[:, None], grid, mode="bilinear", padding_mode="zeros", align_corners=True
        )[:, 0]

    def _penned(self, ink: Tensor) -> Tensor:
        """Give the pen its grain, its pressure and its width."""
        b, h, w = ink.shape
        thick = fn.max_pool2d(ink[:, None], 3, 1, 1)[:, 0]
        thin = -fn.max_pool2d(-ink[:, None], 3, 1, 1)[:, 0]
        mix = self._u(b, -0.5, 0.6)
        ink = torch.where(mix > 0, ink + mix * (thick - ink), ink + (-mix) * (thin - ink))
        grain = self._chosen(b, 0.45) * self._u(b, 0, 0.75)
        fine = self._noise(b, 1, h, w)
        fine = (fn.avg_pool2d(fine, 3, 1, 1)[:, 0] * 3 + self._noise(b, h, w) * 0.5) * 0.6
        ink = ink * (1 - grain * torch.sigmoid(2 * fine))
        pressure = 1 - self._chosen(b, 0.4) * self._u(b, 0, 0.6) * torch.sigmoid(
            2 * self._smooth_field(b, h, w, 16)
        )
        ink = ink * pressure
        spots = torch.sigmoid(6 * (self._smooth_field(b, h, w, 7) - self._u(b, 1.3, 2.4)))
        ink = ink * (1 - self._chosen(b, 0.2) * self._u(b, 0.4, 1.0) * spots)
        gone = self._chosen(b, 0.12)
        rows = torch.arange(h, device=self.device)[None, :, None].float()
        period = self._u(b, 14, 45)
        phase = self._u(b, 0, 45)
        band = (((rows + phase) % period) < self._u(b, 1, 2.6)).float()
        return ink * (1 - gone * band * self._u(b, 0.4, 1.0))

    def _papered(self, ink: Tensor) -> Tensor:
        """Lay the ink on paper: photographed patches, ruling or squares, or bare."""
        b, h, w = ink.shape
        pick = torch.randint(len(self.papers), (b,), generator=self.random, device=self.device)
        zoom = self._u(b, 0.5, 1.6) * h / 320
        wide = zoom * w / h
        ys = torch.linspace(-1, 1, h, device=self.device)[None, :, None] * zoom
        xs = torch.linspace(-1, 1, w, device=self.device)[None, None, :] * wide
        angle = self._u(b, -0.03, 0.03)
        gx = xs + angle * ys + self._u(b, -1, 1)
        gy = ys - angle * xs * 0.3 + self._u(b, -1, 1)
        grid = torch.stack([gx.expand(b, h, w), gy.expand(b, h, w)], -1)
        real = fn.grid_sample(
            self.papers[pick][:, None], grid, mode="bilinear", padding_mode="reflection",
            align_corners=True,
        )[:, 0]  # fmt: skip
        kind = self._u(b)
        paper = torch.where(kind < 0.5, real, torch.ones_like(real))
        ruled = ((kind > 0.5) & (kind < 0.75)).float()
        rows = torch.arange(h, device=self.device)[None, :, None].float()
        columns = torch.arange(w, device=self.device)[None, None, :].float()
        period = self._u(b, 16, 60)
        width = self._u(b, 0.7, 2.2)
        slope = self._u(b, -0.012, 0.012)
        lines = ((rows + slope * columns + self._u(b, 0, 60)) % period < width).float()
        squares = self._chosen(b, 0.5)
        uprights = ((columns - slope * rows + self._u(b, 0, 60)) % period < width).float()
        marks = torch.maximum(lines, uprights * squares)
        paper = paper * (1 - ruled * marks * self._u(b, 0.04, 0.4))
        coarse = self._smooth_field(b, h, w, 8) * self._u(b, 0, 0.02)
        tone = self._u(b, 0.55, 1.0)
        darkness = torch.where(self._u(b) < 0.75, self._u(b, 0.5, 0.95), self._u(b, 0.25, 0.6))
        return tone * (paper + coarse) * (1 - ink.clamp(0, 1) * darkness)

    def _lit(self, gray: Tensor) -> Tensor:
        """Light falls off across a line, and shadows have edges."""
        b, h, w = gray.shape
        xs = torch.linspace(-1, 1, w, device=self.device)[None, None, :]
        ys = torch.linspace(-1, 1, h, device=self.device)[None, :, None]
        fall = 1 + self._u(b, -0.18, 0.18) * xs + self._u(b, -0.08, 0.08) * ys
        edge = torch.sigmoid(
            (xs * torch.cos(self._u(b, 0, 6.3)) + 0.2 * ys + self._u(b, -1, 1)) * self._u(b, 3, 60)
        )
        shadow = 1 - self._chosen(b, 0.2) * self._u(b, 0.05, 0.4) * edge
        return gray * fall * shadow

    def _focused(self, gray: Tensor) -> Tensor:
        """Blur by focus and by a moving hand, then lose resolution, then noise."""
        b, h, w = gray.shape
        sigma = torch.where(self._u(b) < 0.5, self._u(b, 0.1, 0.7), self._u(b, 0.4, 1.7))
        t = torch.arange(-4, 5, device=self.device)[None, None, :].float()
        kernel = torch.exp(-(t**2) / (2 * sigma**2))
        kernel = kernel / kernel.sum(dim=2, keepdim=True)
        moving = torch.where(self._u(b) < 0.15, self._u(b, 1, 4), torch.ones_like(sigma))
        box = (t.abs() <= moving / 2).float()
        box = box / box.sum(dim=2, keepdim=True)
        padded = fn.pad(gray[None], (4, 4, 4, 4), mode="replicate")
        out = fn.conv2d(padded, kernel[:, :, :, None], groups=b)
        out = fn.conv2d(out, kernel[:, :, None, :], groups=b)
        out = fn.conv2d(fn.pad(out, (4, 4, 0, 0), mode="replicate"), box[:, :, None, :], groups=b)
        gray = out[0]
        order, share = self._order(b), max(1, b // 6)
        gray = gray.clone()
        for low, high, few in (
            (0.45, 0.7, order[:share]), (0.65, 0.95, order[share : 2 * share])
        ):  # fmt: skip
            scale = self.dice.uniform(low, high)
            small = fn.interpolate(
                gray[few][:, None], scale_factor=scale, mode="bilinear", antialias=True
            )
            small = small + self._noise(*small.shape) * 0.01
            gray[few] = fn.interpolate(small, (h, w), mode="bicubic", align_corners=False)[:, 0]
        grain = self._u(b, 0, 1) ** 2 * 0.035 * (0.4 + gray.clamp(0, 1))
        return gray + self._noise(b, h, w) * grain

    def _compressed(self, gray: Tensor) -> Tensor:
        """Pass half of the lines through a JPEG's cosine blocks."""
        b, h, w = gray.shape
        few = self._order(b)[: b // 2]
        k = torch.arange(8, device=self.device).float()
        basis = torch.cos((2 * k[None, :] + 1) * k[:, None] * math.pi / 16) * 0.5
        basis[0] = basis[0] / math.sqrt(2)
        quality = self._u(len(few), 0.012, 0.16)[:, :, :, None, None]
        table = (1 + 0.6 * (k[:, None] + k[None, :])) * quality / 3
        blocks = gray[few].reshape(len(few), h // 8, 8, w // 8, 8).permute(0, 1, 3, 2, 4)
        cosines = basis @ (blocks - 0.5) @ basis.T
        kept = torch.round(cosines / table) * table
        back = (basis.T @ kept @ basis + 0.5).permute(0, 1, 3, 2, 4).reshape(len(few), h, w)
        gray = gray.clone()
        gray[few] = back
        return gray.clamp(0, 1.2)
