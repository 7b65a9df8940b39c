"""The words that people write between equations, in the languages that the trade writes in."""

NOT_FUNCTION = frozenset(
    {"using", "since", "single", "cost", "tangent", "constant", "sense", "sentido"}
)
UNIT_WORDS = frozenset(
    ["kN", "N", "MN", "daN", "lb", "lbs", "lbf", "kip", "kips", "kNm", "Nm", "m", "mm", "cm", "ft", "in", "deg", "rad", "°", "kN·m", "N·m", "kN.m", "N.m", "kN*m", "N*m", "k-ft", "lb-ft", "kip-ft", "kN-m", "N-m", "kN/m", "N/m", "kgf", "kg", "t", "Ton", "tonf", "кН", "кН·м", "кНм", "degrees", "ft-lb", "ft-k", "ft·lb", "lb·ft", "kip·ft", "N·mm", "Nmm", "kNmm", "kN·mm", "plf", "klf", "lb/ft", "kip/ft"]
)
STOP = frozenset(
    ["the", "of", "is", "are", "at", "be", "by", "so", "as", "an", "and", "or", "but", "not", "no", "to", "for", "in", "on", "with", "from", "that", "this", "it", "its", "if", "then", "hence", "thus", "therefore", "since", "because", "where", "when", "which", "let", "say", "assume", "take", "taking", "gives", "giving", "get", "we", "now", "also", "all", "both", "each", "using", "use", "find", "found", "check", "checks", "ok", "okay", "ie", "eg", "i.e.", "e.g.", "above", "below", "left", "right", "up", "down", "upward", "upwards", "downward", "downwards", "towards", "toward", "acting", "acts", "act", "must", "into", "sub", "substitute", "substituting", "solving", "solve", "rearranging", "both", "equal", "equals", "equation", "eqn", "eq", "horiz", "horiz.", "vert", "vert.", "horizontal", "vertical", "direction", "tension", "compression", "tens", "comp", "tie", "strut", "zero", "force", "member", "inspection", "symmetry", "see", "note", "und", "oder", "also", "daraus", "folgt", "mit", "aus", "für", "ist", "der", "die", "das", "den", "dem", "auf", "von", "nach", "donc", "alors", "ainsi", "avec", "par", "et", "ou", "de", "du", "des", "les", "le", "la", "est", "sur", "pour", "soit", "quindi", "dunque", "allora", "con", "da", "di", "per", "il", "lo", "gli", "e", "è", "si", "ha", "por", "lo", "tanto", "luego", "entonces", "con", "de", "y", "el", "los", "las", "del", "es", "en", "se", "więc", "zatem", "stąd", "oraz", "z", "do", "na", "dla", "jest", "отсюда", "откуда", "следовательно", "тогда", "и", "при", "из"]
)
