"""The shipped network → a network that training can go on from.

An export has its normalisation folded into the convolutions. Each gets one back whose scale and
shift are the statistics of what its convolution gives on some lines, so that the network computes
what it did; the three parts of a head come back as one.
"""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import onnx
import torch
from onnx import numpy_helper
from torch import Tensor, nn

from verifier.reading.training.export import folded
from verifier.reading.training.network import Block, Reader


def weights_of(path: Path) -> dict[str, Tensor]:
    """Return the tensors of an ONNX file by the names that the folded network gives them."""
    graph = onnx.load(str(path)).graph
    held = {i.name.removesuffix("_half"): numpy_helper.to_array(i) for i in graph.initializer}
    out = {n: torch.tensor(v).float() for n, v in held.items() if not n.startswith("onnx::")}
    for node in graph.node:
        layer = ".".join(node.name.split("/")[1:-1])
        for name in node.input:
            if name in held and name.startswith("onnx::"):
                kind = "weight" if node.op_type == "MatMul" else "bias"
                part = f"{layer}.pair" if layer in ("upper", "lower") else layer
                values = torch.tensor(held[name]).float()
                out[f"{part}.{kind}"] = values.T.contiguous() if kind == "weight" else values
    return out


def unfolded(path: Path, pictures: list[Tensor]) -> Reader:
    """Return the network of an ONNX file, its normalisation set by pictures (B, 80, W)."""
    net = folded(Reader())
    missing = net.load_state_dict(weights_of(path), strict=False).missing_keys
    strange = [n for n in missing if not n.startswith(("upper.", "lower.", "decoder."))]
    if strange:
        raise ValueError(f"{path.name} is another network: it lacks {strange[0]}")
    for head in (net.upper, net.lower):
        for part in (head.sign, head.level):
            nn.init.zeros_(part.weight)
            nn.init.zeros_(part.bias)
    beside = path.with_name("decoder.npz")
    if beside.exists():
        net.decoder.load_state_dict(told(beside), strict=False)
    device = pictures[0].device
    net.to(device)
    seen = _statistics(net, pictures)
    reader = Reader().to(device)
    reader.load_state_dict(net.state_dict(), strict=False)
    for name, conv, norm in _pairs(reader):
        mean, variance = seen[name]
        scale = 1 / conv.weight.data.flatten(1).norm(dim=1).clamp_min(1e-4)
        shift = net.get_submodule(name).bias.data
        norm.weight.data = torch.sqrt(variance + norm.eps / scale**2)
        norm.bias.data = mean + shift
        norm.running_mean.data, norm.running_var.data = mean * scale, variance * scale**2
        conv.weight.data *= scale[:, None, None, None]
    return reader


def told(path: Path) -> dict[str, Tensor]:
    """Return a shipped decoder's tensors."""
    held = np.load(path)
    every = {name: torch.from_numpy(held[name]) for name in held.files if name != "heads"}
    return {n: v.float() if v.is_floating_point() else v.long() for n, v in every.items()}


def _pairs(reader: Reader) -> list[tuple[str, nn.Conv2d, nn.BatchNorm2d]]:
    """Return each convolution that a normalisation follows, by name, with it."""
    out = []
    for name, module in reader.named_modules():
        if isinstance(module, Block):
            out.append((f"{name}.one", module.one, module.norm_one))
            out.append((f"{name}.two", module.two, module.norm_two))
        elif isinstance(module, nn.Sequential) and isinstance(module[0], nn.Conv2d):
            out.append((f"{name}.0", module[0], module[1]))
    return out


@torch.no_grad()
def _statistics(net: Reader, pictures: list[Tensor]) -> dict[str, tuple[Tensor, Tensor]]:
    """Return the mean and variance of what each convolution gives, bias apart."""
    sums: dict[str, list[Tensor]] = {}

    def watch(name: str) -> Callable[[nn.Conv2d, object, Tensor], None]:
        def hook(conv: nn.Conv2d, _: object, out: Tensor) -> None:
            values = (out.float() - conv.bias[:, None, None]).transpose(0, 1).flatten(1).double()
            found = [values.sum(1), (values**2).sum(1), torch.tensor(float(values.shape[1]))]
            old = sums.get(name)
            sums[name] = found if old is None else [a + b for a, b in zip(old, found, strict=True)]

        return hook

    names = [name for name, _, _ in _pairs(Reader())]
    hooks = [net.get_submodule(n).register_forward_hook(watch(n)) for n in names]
    for picture in pictures:
        net(picture[:, None])
    for one in hooks:
        one.remove()
    out = {}
    for name, (total, squares, count) in sums.items():
        mean = total / float(count)
        out[name] = mean.float(), (squares / float(count) - mean**2).clamp_min(1e-6).float()
    return out
