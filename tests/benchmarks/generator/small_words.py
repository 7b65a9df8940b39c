"""Sentences and small words of the second roster, by language."""

IE = {"en": "i.e.", "de": "d.h.", "fr": "c.-à-d.", "es": "es decir", "it": "cioè", "pl": "tzn."}
AGAIN = {
    "en": ["No, should be ", "Correction: ", "wrong, should be ", "Sorry: "],
    "de": ["Falsch, richtig: ", "Korrektur: "],
    "fr": ["erreur, corrigé : ", "Correction : "],
    "es": ["Corrección: ", "mal, debe ser "],
    "it": ["Correzione: ", "errore, corretto: "],
    "pl": ["Poprawka: ", "błąd, powinno być "],
}
MEET = {
    "en": "{o}: intersection of {a} and {b}", "de": "{o} = Schnittpunkt von {a} und {b}",
    "fr": "{o} : intersection de {a} et {b}", "es": "{o}: intersección de {a} y {b}",
    "it": "{o}: intersezione di {a} e {b}", "pl": "{o}: przecięcie {a} i {b}",
}  # fmt: skip
SQUARE = {
    "en": "Perpendicular to {bar}: ", "de": "Senkrecht zu {bar}: ",
    "fr": "Perpendiculairement à {bar} : ", "es": "Perpendicular a {bar}: ",
    "it": "Perpendicolarmente ad {bar}: ", "pl": "Prostopadle do {bar}: ",
}  # fmt: skip
ALONG = {
    "en": "Along {bar}: ", "de": "In Richtung {bar}: ", "fr": "Suivant {bar} : ",
    "es": "Según {bar}: ", "it": "Lungo {bar}: ", "pl": "Wzdłuż {bar}: ",
}  # fmt: skip
CARRIES = {
    "en": ("Bar {bar} carries {v} in {s}.", ("tension", "compression")),
    "de": ("Stab {bar}: {v} ({s}).", ("Zug", "Druck")),
    "fr": ("La barre {bar} supporte {v} en {s}.", ("traction", "compression")),
    "es": ("La barra {bar} trabaja a {s} con {v}.", ("tracción", "compresión")),
    "it": ("L'asta {bar} è {s}: {v}.", ("tesa", "compressa")),
    "pl": ("Pręt {bar} jest {s}: {v}.", ("rozciągany", "ściskany")),
}
TASK = {
    "en": ("Given:", "Find:"), "de": ("Geg.:", "Ges.:"), "fr": ("Données :", "On cherche :"),
    "es": ("Datos:", "Se pide:"), "it": ("Dati:", "Incognite:"), "pl": ("Dane:", "Szukane:"),
}  # fmt: skip
MINUS = {
    "en": "The minus sign means that {x} acts {w}.", "de": "Das Minus heißt: {x} wirkt {w}.",
    "fr": "Le signe moins indique que {x} agit {w}.",
    "es": "El signo menos indica que {x} actúa {w}.",
    "it": "Il segno meno indica che {x} agisce {w}.", "pl": "Minus oznacza, że {x} działa {w}.",
}  # fmt: skip
SUPPORT = {
    "en": "At {j} the support gives {v} {w}.", "de": "Lager {j}: {v} {w}.",
    "fr": "L'appui {j} donne {v} {w}.", "es": "El apoyo {j} da {v} {w}.",
    "it": "Il vincolo in {j} dà {v} {w}.", "pl": "Podpora {j}: {v} {w}.",
}  # fmt: skip
