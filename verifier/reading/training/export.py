"""The trained network → an ONNX file that OpenCV's own engine runs, in half precision."""

import copy
import datetime
import hashlib
import json
import sys
from pathlib import Path

import numpy as np
import onnx
import torch
from onnx import helper, numpy_helper
from torch import nn
from torch.nn.utils.fusion import fuse_conv_bn_eval

from verifier.reading.hand_weights import OUTPUTS
from verifier.reading.training.network import Block, Reader


def folded(reader: Reader) -> Reader:
    """Return a copy with every normalisation folded into its convolution."""
    net = copy.deepcopy(reader).eval().float().cpu()
    for module in net.modules():
        if isinstance(module, Block):
            module.one = fuse_conv_bn_eval(module.one, module.norm_one)
            module.two = fuse_conv_bn_eval(module.two, module.norm_two)
            module.norm_one = module.norm_two = nn.Identity()
        elif isinstance(module, nn.Sequential) and isinstance(module[0], nn.Conv2d):
            module[0] = fuse_conv_bn_eval(module[0], module[1])
            module[1] = nn.Identity()
    return net


def export(reader: Reader, path: Path) -> None:
    """Write the network for lines (1, 1, 80, W), W any multiple of 32."""
    net = folded(reader)
    net.forward = net.everything  # type: ignore[method-assign,assignment]  # training needs no shapes
    torch.onnx.export(
        net,
        (torch.zeros(1, 1, 80, 384),),
        str(path),
        input_names=["line"],
        output_names=[*OUTPUTS],
        dynamic_axes={
            "line": {3: "width"},
            "upper": {1: "columns"},
            "lower": {1: "columns"},
            "columns": {1: "coarse"},
            "shapes": {1: "coarse"},
        },
        opset_version=17,
        dynamo=False,
    )
    model = onnx.load(str(path))
    halve(model)
    onnx.save(model, str(path))


def kept_apart(reader: Reader, path: Path) -> None:
    """Write the decoder, which numpy runs, in half precision."""
    held = {}
    for name, tensor in reader.decoder.state_dict().items():
        values = tensor.cpu().numpy()
        small = values.dtype.kind in "iu"
        held[name] = values.astype(np.int16 if small else np.float16)
    held["heads"] = np.array(reader.decoder.layers[0].heads)
    np.savez(path, **held)


def halve(model: onnx.ModelProto) -> None:
    """Keep large weights in half precision behind Cast nodes."""
    graph = model.graph
    kept, casts = [], []
    for weight in graph.initializer:
        values = numpy_helper.to_array(weight)
        if values.dtype != np.float32 or values.size < 64:
            kept.append(weight)
            continue
        name = weight.name + "_half"
        kept.append(numpy_helper.from_array(values.astype(np.float16), name))
        casts.append(helper.make_node("Cast", [name], [weight.name], to=onnx.TensorProto.FLOAT))
    nodes = [*casts, *graph.node]
    del graph.initializer[:], graph.node[:]
    graph.initializer.extend(kept)
    graph.node.extend(nodes)


def main() -> None:
    """Export averaged weights: `python -m verifier.reading.training.export IN.pt OUT.onnx`."""
    source, target = Path(sys.argv[1]), Path(sys.argv[2])
    held = torch.load(source, weights_only=True, map_location="cpu")["mean"]
    reader = Reader()
    reader.load_state_dict({k: v.float() if v.is_floating_point() else v for k, v in held.items()})
    export(reader, target)
    kept_apart(reader, target.with_name("decoder.npz"))
    record(target, sum(p.numel() for p in reader.parameters()))


def record(path: Path, parameters: int) -> None:
    """Write the file's hash and date beside it; what else is recorded there stays."""
    card_path = path.parent / "reader.json"
    card = json.loads(card_path.read_text(encoding="utf-8")) if card_path.exists() else {}
    card["sha256"] = hashlib.sha256(path.read_bytes()).hexdigest()
    beside = path.with_name("decoder.npz")
    card["decoder_sha256"] = hashlib.sha256(beside.read_bytes()).hexdigest()
    card["date"] = datetime.date.today().isoformat()
    card["parameters"] = parameters
    card_path.write_text(json.dumps(card, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
