"""The tensors of an ONNX file by name, read from its bytes: no further package is needed for that.

An ONNX file is a protocol buffer. Of it, only the weights and which layer each belongs to are
wanted; field numbers are those of onnx.proto.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

_GRAPH, _NODE, _WEIGHT = 7, 1, 5
_INPUT, _NODE_NAME = 1, 3
_DIMS, _TYPE, _NAME, _RAW = 1, 2, 8, 9
_TYPES = {1: np.float32, 7: np.int64, 10: np.float16}
_UNNAMED = "onnx::"
Slice = memoryview
Tensor = NDArray[np.float32]


def weights(data: bytes) -> dict[str, Tensor]:
    """Return the tensors of a network by layer and kind: `mixers.0.qkv.weight`, `…bias`.

    Matrices that the export turned and left unnamed are told by the layer that multiplies by them.
    Raises `ValueError` where the bytes are no such file.
    """
    held: dict[str, Tensor] = {}
    nodes: list[tuple[str, list[str]]] = []
    for number, graph in _fields(memoryview(data)):
        if number != _GRAPH or isinstance(graph, int):
            continue
        for kind, value in _fields(graph):
            if kind == _WEIGHT and not isinstance(value, int):
                name, tensor = _tensor(value)
                held[name.removesuffix("_half")] = tensor
            elif kind == _NODE and not isinstance(value, int):
                nodes.append(_node(value))
    out = {name: tensor for name, tensor in held.items() if not name.startswith(_UNNAMED)}
    for name, inputs in nodes:
        layer = ".".join(name.split("/")[1:-1])
        for one in inputs:
            if one.startswith(_UNNAMED) and one in held:
                out[f"{layer}.{'weight' if held[one].ndim == 2 else 'bias'}"] = held[one]
    return out


def _node(data: Slice) -> tuple[str, list[str]]:
    name, inputs = "", []
    for number, value in _fields(data):
        if number == _INPUT and not isinstance(value, int):
            inputs.append(str(value, "utf-8"))
        elif number == _NODE_NAME and not isinstance(value, int):
            name = str(value, "utf-8")
    return name, inputs


def _tensor(data: Slice) -> tuple[str, Tensor]:
    shape, kind, name, raw = [], 1, "", memoryview(b"")
    for number, value in _fields(data):
        if isinstance(value, int):
            shape += [value] if number == _DIMS else []
            kind = value if number == _TYPE else kind
        elif number == _NAME:
            name = str(value, "utf-8")
        elif number == _RAW:
            raw = value
    if kind not in _TYPES:
        raise ValueError(f"{name} is of a type not known")
    values = np.frombuffer(raw, _TYPES[kind])
    if values.size != int(np.prod(shape)):
        return name, np.zeros(0, np.float32)  # kept in another field: a shape, no weight
    return name, values.reshape(shape).astype(np.float32)


def _fields(data: Slice) -> Iterator[tuple[int, int | Slice]]:
    """Yield the fields of a message: their number, and a whole number or the bytes held."""
    at = 0
    while at < len(data):
        key, at = _number(data, at)
        match key & 7:
            case 0:
                value, at = _number(data, at)
                yield key >> 3, value
            case 2:
                size, at = _number(data, at)
                yield key >> 3, data[at : at + size]
                at += size
            case 1 | 5 as wire:
                size = 8 if wire == 1 else 4
                yield key >> 3, data[at : at + size]
                at += size
            case _:
                raise ValueError("no ONNX file")


def _number(data: Slice, at: int) -> tuple[int, int]:
    value = shift = 0
    while True:
        byte = data[at]
        at += 1
        value |= (byte & 127) << shift
        shift += 7
        if byte < 128:
            return value, at
