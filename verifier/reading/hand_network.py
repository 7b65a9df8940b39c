"""The network of `training/network.py` in numpy: one line at a time, any number of threads at once.

Convolutions are matrix products over rows of pixels (H, W, channels). Each pixel is kept beside
those above and below it, so that three pixels in a row are the nine that a 3 × 3 kernel sees; rows
that begin at the first, second and third pixel of every three are then plain matrices, without
copying each pixel nine times.
"""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float32]
Scores = tuple[Array, Array, Array]
_HEADS = 9


class Network:
    """The network's weights, by the names that training gives them (`hand_onnx.weights`)."""

    def __init__(self, held: dict[str, Array]) -> None:
        self._w = {
            name: _as_matrix(tensor) if tensor.ndim == 4 else tensor
            for name, tensor in held.items()
        }
        self._mixers = sum(name.endswith(".qkv.weight") for name in held)

    def __call__(self, picture: Array) -> Scores:
        """Return the scores (T, tokens) of both streams of a picture (80, W), and its columns.

        W is a multiple of 32, T half of it; the columns (T / 2, width) are what the decoder sees.
        """
        seen = self._look(picture)
        high, across, channels = seen.shape
        x = seen.transpose(1, 2, 0).reshape(across, channels * high)
        x = self._linear("fold", x)
        for n in range(self._mixers):
            x = self._mixed(f"mixers.{n}.", x)
        fine = self._norm("norm", self._linear("finer", x).reshape(2 * across, -1))
        return self._linear("upper", fine), self._linear("lower", fine), x

    def _look(self, picture: Array) -> Array:
        x = self._halved("look.0.0", picture[:, :, None])
        x = self._block("look.1", x)
        x = self._halved("look.2.0", x)
        x = self._block("look.4", self._block("look.3", x))
        x = _relu(self._convolved("look.5.0", x, 2))
        x = self._block("look.7", self._block("look.6", x))
        x = _relu(self._convolved("look.8.0", x, 2))
        return self._block("look.9", x)

    def _block(self, name: str, x: Array) -> Array:
        inner = self._convolved(f"{name}.two", _relu(self._convolved(f"{name}.one", x)))
        inner += x
        return _relu(inner)

    def _convolved(self, name: str, x: Array, down: int = 1) -> Array:
        """Return a 3 × 3 convolution of x (H, W, C), of every row or every second one."""
        height, width, channels = x.shape
        rows = -(-height // down)
        groups = width // 3 + 1  # of three pixels: one before the row, and one or more behind it
        spread = np.zeros((rows * 3 * groups + 3, 3, channels), np.float32)
        held = spread[: rows * 3 * groups].reshape(rows, 3 * groups, 3, channels)
        inside = held[:, 1 : width + 1]
        inside[:, :, 1] = x[::down]
        inside[:, :, 2][: len(x[1::down])] = x[1::down]
        above = x[down - 1 : -1 : down] if height > 1 else x[:0]
        inside[1:, :, 0] = above[: rows - 1]
        weight = self._w[f"{name}.weight"]
        out = np.empty((rows * groups, 3, weight.shape[1]), np.float32)
        for first in range(3):
            flat = spread[first : first + 3 * rows * groups].reshape(rows * groups, -1)
            np.matmul(flat, weight, out=out[:, first])
        out += self._w[f"{name}.bias"]
        return out.reshape(rows, 3 * groups, -1)[:, :width]

    def _halved(self, name: str, x: Array) -> Array:
        """Return a 3 × 3 convolution of every second row and column, cut off at 0."""
        height, width, channels = x.shape
        around = np.zeros((height + 2, width + 2, channels), np.float32)
        around[1:-1, 1:-1] = x
        spread = np.empty((height // 2, width // 2, 3, 3, channels), np.float32)
        for across in range(3):
            for down in range(3):
                spread[:, :, across, down] = around[
                    down : down + height : 2, across : across + width : 2
                ][: height // 2, : width // 2]
        weight = self._w[f"{name}.weight"]
        flat = spread.reshape(-1, weight.shape[0])
        out = flat @ weight
        out += self._w[f"{name}.bias"]
        return _relu(out.reshape(height // 2, width // 2, -1))

    def _mixed(self, name: str, x: Array) -> Array:
        x = x + _silu(self._local(name + "local", self._norm(name + "norm_c", x)))
        x += self._linear(name + "out", self._attended(name, self._norm(name + "norm_a", x)))
        wide = self._linear(name + "wide", self._norm(name + "norm_f", x))
        x += self._linear(name + "narrow", _silu(wide))
        return x

    def _local(self, name: str, x: Array) -> Array:
        """Return every channel of x (T, width) mixed along T by itself."""
        weight = self._w[f"{name}.weight"][:, 0]
        reach = weight.shape[1]
        around = np.zeros((len(x) + reach - 1, x.shape[1]), np.float32)
        around[reach // 2 : reach // 2 + len(x)] = x
        out = np.tile(self._w[f"{name}.bias"], (len(x), 1))
        for k in range(reach):
            out += around[k : k + len(x)] * weight[:, k]
        return out

    def _attended(self, name: str, x: Array) -> Array:
        width = x.shape[1]
        size = width // _HEADS
        q, k, v = (
            part.reshape(len(x), _HEADS, size).transpose(1, 0, 2)
            for part in np.split(self._linear(name + "qkv", x), 3, axis=1)
        )
        scores = (q * np.float32(size**-0.5)) @ k.transpose(0, 2, 1)
        scores -= scores.max(axis=2, keepdims=True)
        np.exp(scores, out=scores)
        mixed = (scores @ v) / scores.sum(axis=2, keepdims=True)
        return np.asarray(mixed.transpose(1, 0, 2).reshape(len(x), width))

    def _linear(self, name: str, x: Array) -> Array:
        out: Array = x @ self._w[f"{name}.weight"]
        out += self._w[f"{name}.bias"]
        return out

    def _norm(self, name: str, x: Array) -> Array:
        x = x - x.mean(axis=-1, keepdims=True)
        x /= np.sqrt(np.square(x).mean(axis=-1, keepdims=True) + np.float32(1e-5))
        x *= self._w[f"{name}.weight"]
        x += self._w[f"{name}.bias"]
        return x


def _as_matrix(kernel: Array) -> Array:
    """Return a kernel (out, in, down, across) as a matrix (across · down · in, out)."""
    return np.ascontiguousarray(kernel.transpose(3, 2, 1, 0).reshape(-1, len(kernel)))


def _relu(x: Array) -> Array:
    return np.maximum(x, 0, out=x)


def _silu(x: Array) -> Array:
    """Return x / (1 + e^−x)."""
    low = np.exp(-x)
    low += 1
    return np.divide(x, low, out=low)
