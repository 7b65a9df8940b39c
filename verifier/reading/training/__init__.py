"""How the handwriting reader is trained: data, composer, camera, network, runs (extra `train`)."""
