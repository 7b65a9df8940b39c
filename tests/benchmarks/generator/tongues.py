# ruff: noqa: E501  (tables of words read better a row a line)
"""What people of six languages write around their sums: labels, headings, senses, little words."""

from __future__ import annotations

from dataclasses import dataclass

Labels = tuple[str, str, str]


@dataclass(frozen=True)
class Tongue:
    """One language. {a} a point, {j} a joint, {n} a body, {names} bars, {side} a side, {x} a name."""

    labels: tuple[Labels, ...]
    whole: tuple[str, ...]
    joint: tuple[str, ...]
    section: tuple[str, ...]
    body: tuple[str, ...]
    cut: tuple[str, ...]
    sides: tuple[str, str]
    pulled: tuple[str, ...]  # every bar drawn pulling
    bars: tuple[str, str]  # {x} drawn pulling, {x} drawn pushing
    drawn: tuple[str, ...]  # {x} drawn in the way {w}
    ways: tuple[str, str, str, str, str, str]  # right up left down anticlockwise clockwise
    senses: tuple[tuple[str, str], ...]
    hence: tuple[str, ...]
    pair: tuple[str, str, str]  # from {t}, into {t}, solving {t} and {u}
    check: tuple[str, ...]
    results: tuple[str, ...]
    inspection: tuple[str, ...]
    symmetry: tuple[str, ...]
    triangle: tuple[str, ...]  # before a distributed load's resultant
    only: tuple[str, ...]  # {x} acting alone
    together: tuple[str, ...]


ENGLISH = Tongue(
    labels=(
        ("Horizontally: ", "Vertically: ", "Moments about {a}: "),
        ("Horizontal equilibrium: ", "Vertical equilibrium: ", "Moment equilibrium about {a}: "),
        ("∑Fx = 0 ⟹ ", "∑Fy = 0 ⟹ ", "∑M{a} = 0 ⟹ "),
        ("(→) ", "(↑) ", "({a}↺) "),
        ("→ΣFx=0,  ", "↑ΣFy=0,  ", "↺ΣM{a}=0,  "),
        ("ΣFx = 0 (→ +): ", "ΣFy = 0 (↑ +): ", "ΣM{a} = 0 (↺ +): "),
        (
            "For horizontal equilibrium, ",
            "For vertical equilibrium, ",
            "Taking moments about {a}, ",
        ),
        ("Force balance in x: ", "Force balance in y: ", "Moment balance about {a}: "),
        ("Forces in x: ", "Forces in y: ", "Moments @ {a}: "),
        ("ΣFh = 0 -> ", "ΣFv = 0 -> ", "ΣM at {a} = 0 -> "),
    ),
    whole=(
        "Whole frame in equilibrium:",
        "External equilibrium:",
        "Overall equilibrium",
        "Support reactions first:",
        "",
    ),
    joint=(
        "Equilibrium of joint {j}:",
        "Isolate joint {j}.",
        "Node {j}",
        "Free body of pin {j}:",
        "Next, joint {j}:",
        "--- Joint {j} ---",
        "{j}:",
    ),
    section=(
        "Method of sections: cut {names}, keep the {side} part",
        "Imaginary cut through {names}; {side} part:",
        "Cut through {names}. Consider the {side} part.",
    ),
    body=("Body {n} alone:", "Consider {n}:", "Now {n} on its own:"),
    cut=(
        "Cut at {k}; {side} part:",
        "Section at {k}, {side} side:",
        "Imaginary cut at {k}, keep the {side} part:",
    ),
    sides=("left", "right"),
    pulled=(
        "All members taken as ties.",
        "Every bar is drawn pulling (tension positive).",
        "Tension taken as positive.",
    ),
    bars=("{x} drawn in tension", "{x} drawn in compression"),
    drawn=("Let {x} act {w}.", "{x} taken {w}", "{x}: positive {w}"),
    ways=("to the right", "upwards", "to the left", "downwards", "anticlockwise", "clockwise"),
    senses=(
        (" (tension)", " (compression)"),
        (", pulling", ", pushing"),
        (" (tie)", " (strut)"),
        (" (Tens.)", " (Comp.)"),
        (" TENSION", " COMPRESSION"),
        (" [T]", " [C]"),
    ),
    hence=("hence ", "which gives ", "so that ", "giving "),
    pair=("From {t}: ", "Substituting in {t}: ", "Solving {t} and {u} simultaneously: "),
    check=("Check: ", "To check, "),
    results=("Summary: ", "Answers: ", "Final results: "),
    inspection=(
        "{name} = 0 by inspection",
        "{name} is a zero-force member: {name} = 0",
        "Clearly {name} = 0",
    ),
    symmetry=("By symmetry, ", "From symmetry: ", "The frame and its loads are symmetric, so "),
    triangle=("Load resultant: ", "Equivalent point load "),
    only=("{x} acting alone:", "Due to {x} only:", "Case: {x} alone"),
    together=("Together: ", "Adding up: ", "By superposition, "),
)
GERMAN = Tongue(
    labels=(
        ("ΣF_ix = 0: ", "ΣF_iy = 0: ", "ΣM_i({a}) = 0: "),
        ("∑F_H = 0: ", "∑F_V = 0: ", "∑M_{a} = 0: "),
        ("Kräfte horizontal: ", "Kräfte vertikal: ", "Momente um {a}: "),
        (
            "Gleichgewicht horizontal: ",
            "Gleichgewicht vertikal: ",
            "Momentengleichgewicht um {a}: ",
        ),
        ("→ : ", "↑ : ", "↺{a} : "),
        ("ΣF_x = 0 ⇒ ", "ΣF_z = 0 ⇒ ", "ΣM^({a}) = 0 ⇒ "),
    ),
    whole=(
        "Gleichgewicht am Gesamtsystem:",
        "Gesamtes System",
        "Auflagerreaktionen:",
        "Lagerkräfte",
    ),
    joint=("Knoten {j}", "Gleichgewicht am Knoten {j}:", "Freischnitt Knoten {j}:"),
    section=("Ritterschnitt durch {names}, {side} Teil:", "Schnitt durch {names}; {side} Teil"),
    body=("Teilsystem {n}:", "Körper {n}:", "Freischnitt {n}:"),
    cut=("Schnitt bei {k}, {side} Teil:", "Schnitt an der Stelle {k}, {side} Teil:"),
    sides=("linker", "rechter"),
    pulled=("Alle Stäbe als Zugstäbe angenommen.", "Annahme: alle Stäbe auf Zug"),
    bars=("Annahme: {x} auf Zug", "Annahme: {x} auf Druck"),
    drawn=("Annahme: {x} {w}", "{x} positiv {w}"),
    ways=(
        "nach rechts",
        "nach oben",
        "nach links",
        "nach unten",
        "gegen den Uhrzeigersinn",
        "im Uhrzeigersinn",
    ),
    senses=((" (Zug)", " (Druck)"), (" (Zugstab)", " (Druckstab)"), (", Zug", ", Druck")),
    hence=("daraus ", "also ", "somit ", "folglich "),
    pair=("Aus {t}: ", "Einsetzen in {t}: ", "Lösung von {t} und {u}: "),
    check=("Kontrolle: ", "Probe: "),
    results=("Ergebnis: ", "Zusammenfassung: "),
    inspection=("{name} = 0 (Nullstab)", "Nullstab: {name} = 0"),
    symmetry=("Aus Symmetriegründen ", "Wegen der Symmetrie: ", "Symmetrie: "),
    triangle=("Resultierende: ",),
    only=("Nur {x}:", "Lastfall {x}:"),
    together=("Überlagerung: ", "Superposition: "),
)
FRENCH = Tongue(
    labels=(
        ("Suivant x : ", "Suivant y : ", "Moments en {a} : "),
        ("ΣFx = 0 ⇒ ", "ΣFy = 0 ⇒ ", "ΣM{a} = 0 ⇒ "),
        (
            "Équilibre horizontal : ",
            "Équilibre vertical : ",
            "Somme des moments par rapport à {a} : ",
        ),
        ("Projection sur x : ", "Projection sur y : ", "Moment en {a} : "),
        ("ΣF/x = 0 → ", "ΣF/y = 0 → ", "ΣM/{a} = 0 → "),
    ),
    whole=("Équilibre global :", "On isole l'ensemble :", "Réactions d'appui :"),
    joint=("Nœud {j}", "Équilibre du nœud {j} :", "On isole le nœud {j} :"),
    section=("Coupe par {names}, partie {side} :", "Section de Ritter {names}, partie {side} :"),
    body=("On isole {n} :", "Équilibre de {n} :", "Solide {n} :"),
    cut=("Coupe en {k}, partie {side} :", "Section en {k}, partie {side} :"),
    sides=("gauche", "droite"),
    pulled=(
        "Toutes les barres sont supposées tendues.",
        "On suppose toutes les barres en traction",
    ),
    bars=("{x} en traction (hypothèse)", "{x} en compression (hypothèse)"),
    drawn=("On suppose {x} {w}", "{x} positif {w}"),
    ways=(
        "vers la droite",
        "vers le haut",
        "vers la gauche",
        "vers le bas",
        "sens antihoraire",
        "sens horaire",
    ),
    senses=(
        (" (traction)", " (compression)"),
        (" (tendue)", " (comprimée)"),
        (" en traction", " en compression"),
    ),
    hence=("d'où ", "donc ", "soit "),
    pair=("De {t} : ", "Dans {t} : ", "Résolution de {t} et {u} : "),
    check=("Vérification : ", "Contrôle : "),
    results=("Résultats : ", "Bilan : "),
    inspection=("{name} = 0 (barre non sollicitée)", "{name} = 0 (effort nul)"),
    symmetry=("Par symétrie, ", "Par symétrie : "),
    triangle=("Résultante : ",),
    only=("{x} seule :", "Sous {x} seule :"),
    together=("Superposition : ", "Au total, "),
)
SPANISH = Tongue(
    labels=(
        ("∑Fx = 0 → ", "∑Fy = 0 → ", "∑M{a} = 0 → "),
        ("Suma de fuerzas en x: ", "Suma de fuerzas en y: ", "Suma de momentos en {a}: "),
        ("Equilibrio horizontal: ", "Equilibrio vertical: ", "Momentos respecto a {a}: "),
        ("ΣFx=0; ", "ΣFy=0; ", "ΣM({a})=0; "),
        ("ΣFH=0: ", "ΣFV=0: ", "ΣM en {a} = 0: "),
    ),
    whole=("Equilibrio global:", "Reacciones en los apoyos:", "Estructura completa"),
    joint=("Nudo {j}", "Equilibrio del nudo {j}:", "Aislamos el nudo {j}:", "Nodo {j}:"),
    section=("Corte por {names}, parte {side}:", "Sección por {names}; parte {side}"),
    body=("Aislamos {n}:", "Cuerpo {n}:", "Equilibrio de {n}:"),
    cut=("Corte en {k}, parte {side}:", "Sección en {k}, parte {side}:"),
    sides=("izquierda", "derecha"),
    pulled=("Se suponen todas las barras a tracción.", "Todas las barras a tracción (hipótesis)"),
    bars=("Se supone {x} a tracción", "Se supone {x} a compresión"),
    drawn=("Se supone {x} {w}", "{x} positiva {w}"),
    ways=(
        "hacia la derecha",
        "hacia arriba",
        "hacia la izquierda",
        "hacia abajo",
        "antihorario",
        "horario",
    ),
    senses=((" (tracción)", " (compresión)"), (" a tracción", " a compresión"), (" (T)", " (C)")),
    hence=("luego ", "de donde ", "por tanto "),
    pair=("De {t}: ", "Sustituyendo en {t}: ", "Resolviendo {t} y {u}: "),
    check=("Comprobación: ",),
    results=("Resultados: ", "Solución: "),
    inspection=("{name} = 0 (barra de fuerza nula)", "Por inspección, {name} = 0"),
    symmetry=("Por simetría, ", "Por simetría: "),
    triangle=("Resultante: ",),
    only=("Solo {x}:", "Únicamente {x}:"),
    together=("Superposición: ", "Sumando: "),
)
ITALIAN = Tongue(
    labels=(
        ("ΣFo = 0: ", "ΣFv = 0: ", "ΣM_{a} = 0: "),
        (
            "Equilibrio alla traslazione orizzontale: ",
            "Equilibrio alla traslazione verticale: ",
            "Equilibrio alla rotazione attorno ad {a}: ",
        ),
        ("ΣH=0; ", "ΣV=0; ", "ΣM({a})=0; "),
        ("→) ", "↑) ", "{a}↺) "),
        ("Σ Fx = 0 ⇒ ", "Σ Fy = 0 ⇒ ", "Σ M({a}) = 0 ⇒ "),
    ),
    whole=("Equilibrio globale:", "Reazioni vincolari:", "Intera struttura"),
    joint=("Nodo {j}:", "Equilibrio del nodo {j}:", "Si isola il nodo {j}"),
    section=("Sezione di Ritter {names}, parte {side}:", "Sezione {names}; parte {side}"),
    body=("Corpo {n}:", "Si isola {n}:", "Equilibrio di {n}:"),
    cut=("Sezione in {k}, parte {side}:", "Taglio in {k}, parte {side}:"),
    sides=("sinistra", "destra"),
    pulled=("Si suppongono tutte le aste tese.", "Aste supposte tese"),
    bars=("Si suppone {x} tesa", "Si suppone {x} compressa"),
    drawn=("Si suppone {x} {w}", "{x} {w}"),
    ways=(
        "verso destra",
        "verso l'alto",
        "verso sinistra",
        "verso il basso",
        "antiorario",
        "orario",
    ),
    senses=(
        (" (tirante)", " (puntone)"),
        (" (trazione)", " (compressione)"),
        (" (tesa)", " (compressa)"),
    ),
    hence=("da cui ", "quindi ", "cioè "),
    pair=("Dalla {t}: ", "Sostituendo nella {t}: ", "Risolvendo {t} e {u}: "),
    check=("Verifica: ", "Controllo: "),
    results=("Risultati: ", "Riepilogo: "),
    inspection=("{name} = 0 (asta scarica)", "Asta scarica: {name} = 0"),
    symmetry=("Per simmetria ", "Per simmetria: "),
    triangle=("Risultante: ",),
    only=("Solo {x}:", "Con la sola {x}:"),
    together=("Sovrapposizione: ", "Sommando: "),
)
POLISH = Tongue(
    labels=(
        ("ΣP_ix = 0: ", "ΣP_iy = 0: ", "ΣM_i{a} = 0: "),
        ("ΣX = 0: ", "ΣY = 0: ", "ΣM_{a} = 0: "),
        ("Suma rzutów na oś x: ", "Suma rzutów na oś y: ", "Suma momentów względem {a}: "),
        ("ΣFix=0 ", "ΣFiy=0 ", "ΣMi{a}=0 "),
    ),
    whole=("Cały układ:", "Reakcje podporowe:", "Równowaga całości"),
    joint=("Węzeł {j}:", "Równowaga węzła {j}:", "Węzeł {j}"),
    section=(
        "Przekrój przez {names}, część {side}:",
        "Metoda Rittera, przekrój {names}, część {side}",
    ),
    body=("Ciało {n}:", "Element {n}:", "Równowaga {n}:"),
    cut=("Przekrój w {k}, część {side}:", "Przekrój {k}, strona {side}:"),
    sides=("lewa", "prawa"),
    pulled=(
        "Zakładamy, że wszystkie pręty są rozciągane.",
        "Założenie: wszystkie pręty rozciągane",
    ),
    bars=("Założenie: {x} rozciągany", "Założenie: {x} ściskany"),
    drawn=("Założenie: {x} {w}", "{x} {w}"),
    ways=(
        "w prawo",
        "w górę",
        "w lewo",
        "w dół",
        "przeciwnie do ruchu wskazówek zegara",
        "zgodnie z ruchem wskazówek zegara",
    ),
    senses=(
        (" (rozciąganie)", " (ściskanie)"),
        (" (rozciągany)", " (ściskany)"),
    ),
    hence=("stąd ", "zatem ", "czyli "),
    pair=("Z {t}: ", "Podstawiając do {t}: ", "Rozwiązując {t} i {u}: "),
    check=("Sprawdzenie: ", "Kontrola: "),
    results=("Wyniki: ", "Odpowiedź: "),
    inspection=("{name} = 0 (pręt zerowy)", "Pręt zerowy: {name} = 0"),
    symmetry=("Z symetrii ", "Z symetrii: "),
    triangle=("Wypadkowa: ",),
    only=("Tylko {x}:", "Samo {x}:"),
    together=("Superpozycja: ", "Razem: "),
)
TONGUES = {
    "en": ENGLISH, "de": GERMAN, "fr": FRENCH, "es": SPANISH, "it": ITALIAN, "pl": POLISH,
}  # fmt: skip
