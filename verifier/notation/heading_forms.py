"""The forms in which people head a part of a working, in the languages of the trade."""

import re

from verifier.notation.patterns import loose

_JOINT = (
    r"joint|joints|jn?t|pin|Knotengleichgewicht|node|nodes|Knoten|Knotenpunkt|nœud|noeud|nodo"
    r"|nudo|węzeł|wezel|nó|knoop|čvor|knutpunkt|knude"
    r"|węzła|węźle|styčník|uzel"
    r"|узел|узла|вузол|节点|結点|節点|节|pin joint"
)
SECTION = (
    r"section(?:ing)?|sect|cut(?:ting)?(?: plane)?|Schnitt|Ritterschnitt|Ritter-Schnitt"
    r"|coupe|coupure|sezione|taglio"
    r"|corte|sección|seccion|seç?ção|(?:door)?snede|snitt|przekrój|przekroj|przecięcie|řez|сечение|переріз|截面|切断"
)
_WHOLE = (
    r"(?:whole|entire|complete|overall|global|full)\s?(?:truss|structure|frame|system"
    r"|beam|body|bracket|mast|figure"
    r"|equilibrium|FBD|free[- ]body(?: diagram)?|thing)?|Gesamtsystem|Gesamttragwerk"
    r"|(?:ganze|gesamte)[sn]? (?:System|Tragwerk|Struktur)(?: freigeschnitten)?|Gesamtgleichgewicht"
    r"|Gesamtstruktur|external equilibrium|globale|d'insieme"
    r"|ensemble de la structure|(?:structure|système)(?: entière?| complète?)?|ensemble"
    r"|intera struttura|struttura(?: intera| completa)?|intero (?:sistema|telaio)|insieme"
    r"|(?:toda la )?estructura(?: completa| entera)?|conjunto|całość|całości"
    r"|cał(?:a|ej) (?:konstrukcj[ai]|kratownic[ay]|belk[ai]|ram[ay])|cał(?:y|ego) układu?"
    r"|вся (?:ферма|конструкция)|整体|全体"
)
_REACTIONS = (
    r"(?:(?:find|calculate|determine|the|support|external|solve for"
    r"|solving for)\s+)*reactions?(?: at supports?| at the supports?)?(?: first)?"
    r"|supports|Auflager(?:kräfte|reaktionen)?|Lagerkräfte|Lagerreaktionen"
    r"|réactions?(?: d'appui| aux appuis)?|reazioni(?: vincolari| degli appoggi)?"
    r"|reacciones(?: (?:en|de) (?:los )?apoyos?)?"
    r"|reakcje(?: podporowe)?|reações(?: de apoio)?|oplegreacties|stödreaktioner|reakce|reakcije"
    r"|реакции(?: опор)?|支座反力|反力"
)
_METHOD = (
    r"method of joints|method of sections|Knotenpunktverfahren|Ritterverfahren"
    r"|Rundschnittverfahren|Ritter'?sches Schnittverfahren"
    r"|méthode des nœuds|méthode de Ritter|metodo dei nodi|metodo delle sezioni"
    r"|método de (?:los )?nudos"
    r"|método de (?:las )?secciones|metoda równoważenia węzłów|metoda Rittera"
    r"|equations? of equilibrium|equilibrium(?: equations?)?"
    r"|Gleichgewichtsbedingungen|Gleichgewicht|équilibre|equilibrio|równowaga"
    r"|member forces|bar forces|Stabkräfte"
    r"|geometry|angles|solution|answers?|results?|summary|FBD|free[- ]body diagram"
    r"|given|find|Geometrie|Ergebnisse?"
)
_FBD = (
    r"(?:FBD|F\.B\.D\.?|free[- ]body(?: diagram)?|isolate|isolating|Freischnitt"
    r"|Freikörper(?:bild)?|DCL|diagramme du corps libre|SWO)"
)
SUPPORT = (
    r"fixity|fixed end|wall|base|foot|support|Einspannung|(?:Auf|Fest|Los)?lager|encastrement|appui"
    r"|incastro|appoggio|empotramiento|apoyo|utwierdzenie|podpora|engaste|apoio|inklämning|stöd"
    r"|inklemming|steunpunt"
)
_LEAD = (
    r"(?:(?:on isole|isolons|isoler|le|la|il|lo|el|取|考虑|对|now|next|then"
    r"|consider(?:ing)?|look(?:ing)? at|take|taking|go to|at the"
    r"|at|equilibrium of|for|@|step \d+[:.]?"
    r"|Gleichgewicht am|Knotengleichgewicht(?= a)|Rundschnitt(?: um)?"
    r"|équilibre du|equilibrio del?|równowaga|von|am|des|du|al|del"
    r"|the|den|der|au|nell?[aeo']?|en|para|per|pour|dans|im|beim|für|betrachte[nt]?|wir"
    r"|betrachtung|considera(?:mo|ndo)?|consid[ée]rons|on considère|étudions|on étudie|étude"
    r"|aisl(?:amos|ando)|se aísla|isol(?:iamo|ando)|si isola|Gleichgewicht|équilibre|equilibrio"
    r"|equilíbrio|do|вырежем|рассмотрим|равновесие|равновесия|równowagi|imaginary|an|de|di|della|dell'|l'|warunki|dla|we?"
    r"|rozpatrujemy|rozważmy|wycinamy|analizujemy|wir schneiden)\s*)*"
)
_NAME = r"[A-ZΑ-ΩА-Я][A-Za-z]?[0-9₀-₉]*'*|[0-9]{1,3}[A-Za-z]?|[IVX]{1,4}|[a-z]\b'*"
_LIST = (
    rf"(?:{_NAME})(?:\s?[-–]\s?(?:{_NAME}))*(?:(?:\s*[,&+]\s*|\s+(?:and|und|et|e|y|i)\s+)"
    rf"(?:{_NAME})(?:\s?[-–]\s?(?:{_NAME}))*)*"
)
SIDE = {
    "left": (
        r"left(?:[- ]hand)?|LHS|L\.H\.S\.?|links|linke[rsnm]?|gauche|izquierd[ao]|sinistr[aoi]"
        r"|esquerd[ao]|esq|izq|lew(?:a|ą|e|y|ej|ego|ym)|левая|左"
    ),
    "right": (
        r"right(?:[- ]hand)?|RHS|R\.H\.S\.?|rechts|rechte[rsnm]?|droite|destr[aoi]|derech[ao]"
        r"|direit[ao]|dcha|praw(?:a|ą|e|y|ej|ego|ym)|правая|右"
    ),
    "upper": r"upper|top|above|oben|oberer?|supérieure?|haut|superiore|superior|górna|上",
    "lower": r"lower|bottom|below|unten|unterer?|inférieure?|bas|inferiore|inferior|dolna|下",
}
SIDE_ANY = "|".join(f"(?P<{side}>\\b(?:{words})(?![\\w]))" for side, words in SIDE.items())
SIDES = re.compile(SIDE_ANY, re.IGNORECASE)


def side_of(match: re.Match[str] | None) -> str:
    """Return the side that a match of `SIDE_ANY` names, '' for none."""
    return next((side for side in SIDE if match and match[side]), "")


_CARRIES = r"\s(?:trägt|überträgt|carries|porte|porta|soporta|lleva|niesie|przenosi)\s[A-Z]\w*\s*="
_END = rf"(?=\s*(?:[:;,.(]|$)|{_CARRIES})"
_STOP = (
    r"(?:\s*为研究对象|\s+as a free[- ]body|\s+in equilibrium)?"
    r"(?=\s*(?:[:;,.(–—]|-\s|=>|⇒|→|$|(?<=\))"
    r"|\s(?:and|gives|yields|in|gilt|ergibt|liefert|donne)\b"
    rf"|{_CARRIES})|\s+[ΣΣ↑→↺↻+\[]|\s{{2,}}\S)"
)
_CUTS = (
    r"(?:we |i |on |wir |ich |si |se |man )?(?:cut|cutting|coupe|coupons|schneide[nt]?|schneidet"
    r"|taglia(?:no|mo)?|tagliando|seziona(?:no|mo)?|corta(?:mos|ndo|n)?|seccionamos|przecinamy|przetnijmy|tniemy)"
)
_SLOPE = (
    r"(?:(?:vertical|horizontal|inclined|sloping|straight|senkrechter|lotrechter|vertikaler|schräger"
    r"|waagerechter)\s+)?"
)
_PIECE = (
    r"(?i:Riegel|Stiel|Pfosten|Stütze|Mast|Ausleger|Strebe|Kragarm|post|jib|boom|column|rafter|leg"
    r"|lever|girder|strut|stay|traverse|montant|poteau|mât|potence|flèche|palo|columna|travesaño"
    r"|pilar|colonna|traverso|montante|pilastro|braccio|słup|rygiel|wysięgnik|ramię|maszt"
    r"|span|segment|half|tratto|tramo|tronçon|travée|Abschnitt|odcinek|trecho|segmento|deel)"
)
_SUCH = r"(?!(?i:load|force|moment|reaction|shear|bending|along|length|no)\b)[^\W\d_]{3,}"
_PART = (
    r"(?:the )?(?:part|piece|portion)(?: of [\w'-]+)? (?:to the )?(?:left|right"
    r"|above|below)(?: of)? "
    r"(?:the )?(?:cut )?(?:through )?[^:;=]{1,40}?(?=[:;=]|$)"
)


_JUST = (
    r"(?:just|immediately|directly|slightly|infinitesimally|unmittelbar|direkt|kurz|knapp|juste|immédiatement"
    r"|subito|immediatamente|appena|justo|inmediatamente|tuż|bezpośrednio)\s+(?:to\s+(?:the\s+)?|à\s+|a\s+(?:la\s+)?"
    rf"|alla\s+|na\s+)?(?:{SIDE['left']}|{SIDE['right']}|before|after|past|vor|hinter|nach|avant|après|prima|dopo"
    r"|antes|después|przed|za)\s+(?:(?:of|von|de|di|od|to)\s+)?(?:(?:the|the\s+joint|joint|support|point"
    r"|Punkt|Lager)\s+)*"
)


def _form(pattern: str, flags: int = 0) -> re.Pattern[str]:
    return re.compile(loose(pattern), flags)


FORMS: tuple[tuple[str, re.Pattern[str]], ...] = (
    (
        "joint",
        _form(
            (
                rf"{_LEAD}(?:{_FBD}\s*(?:of|:|der|des|du)?\s*)?(?:the )?(?:{_JOINT})(?:\b"
                rf"|(?<=[一-鿿]))\.?\s*:?\s*(?:n[ro°º]?[.°º]\s?|nr\s)?[\"'«]?(?P<n>{_LIST})[\"'»]?"
                rf"(?:\s?\)(?=\s|$))?{_STOP}"
            ),
            re.I,
        ),
    ),
    (
        "joint",
        _form(
            rf"(?:@|[Pp]in|(?:[Cc]onsider )?(?:the )?pin at|[Aa]t|[Aa]m|[Ee]n|[Cc]onsider"
            rf"|[Pp]oint|[Pp]unkt)\s+(?P<n>{_NAME})"
            r"(?=\s*[:,;↑→←↓]|\s*$|\s*\([^()=\d]{4,40}\)\s*(?::|$)|\s*\([^()=]{3,40}\)\s*:)"
        ),
    ),
    ("joint", _form(rf"(?i:{SUPPORT})\s+(?P<n>{_NAME})(?=\s*:\s*[^\W\d][\w{{}}]{{0,5}}\s*=)")),
    (
        "section",
        _form(
            rf"{_LEAD}(?:{_FBD}\s*(?:of|:)?\s*)?{_SLOPE}(?:{SECTION})\b[^:;=Σ]{{0,90}}?"
            r"(?=[:;=Σ]|\([^()]*=|$)",
            re.I,
        ),
    ),
    ("section", _form(rf"(?:{_FBD}\s*(?:of|:)?\s*)?{_PART}", re.I)),
    ("section", _form(rf"(?i:{_JUST})(?P<n>[A-Z]\d?'*)(?=\s*[:,;]|\s*$)")),
    ("cut", _form(rf"(?:{_CUTS})\b[^:;=Σ]{{0,90}}?(?=[:;=Σ]|$)", re.I)),
    (
        "whole",
        _form(rf"{_LEAD}(?:{_FBD}\s*(?:of|:|,)?\s*)?(?:the )?(?:{_WHOLE})\b{_STOP}", re.I),
    ),
    (
        "body",
        _form(
            (
                rf"{_LEAD}(?:{_FBD})\s*(?:of|:|der|des|du|de la|de)?\s*(?:the )?(?:member|bar"
                rf"|body|part|beam|link)?\s*(?P<n>[\w'-]+){_STOP}"
            ),
            re.I,
        ),
    ),
    (
        "body",
        _form(
            (
                rf"{_LEAD}(?:body|part|member|bar|beam|frame|link|arm|strut|piece|disc|Scheibe"
                rf"|Körper|Teil|Stab|Balken|Träger|barre|corps|poutre|asta|corpo|trave|barra|viga"
                rf"|belka|pręt|ciało)\s+(?!\d+(?:[.,]\d|\s?(?:mm?|cm|ft|in|k?N)\b))(?P<n>{_LIST}|[\w'-]+){_STOP}"
            ),
            re.I,
        ),
    ),
    (
        "body",
        _form(
            rf"(?i:{_LEAD})(?:{_SUCH}\s+)?{_PIECE}\s+(?P<n>(?:[A-Z][0-9₀-₉]?'*){{2,6}})(?![\w]){_END}"
        ),
    ),
    ("reactions", _form(rf"(?:{_REACTIONS})\b{_STOP}", re.I)),
    ("method", _form(rf"(?:by |using |the )?(?:{_METHOD})\b{_STOP}", re.I)),
)
_KEPT = (
    r"(?:(?:Gleichgewicht (?:am|des|im)|Betrachtung de[sr]|wir betrachten|betrachte|équilibre d[eu]"
    r"|on isole|isolons|equilibrio d(?:e|el|ella|i)|isoliamo|si isola|aislamos|rozpatrujemy"
    r"|równowaga|consider|tomamos|prendiamo)\s+)?(?:(?:the|den|der|das|die|le|la|il|lo|l')\s*)?"
)
SIDE_AFTER = _form(
    rf"{_KEPT}(?:partie|parte|część|części|tronçon|tronco|tramo|lado|côté|lato|strona|morceau|tratto)"
    rf"\s+(?:(?:de|di)\s+)?(?:(?:la|le|il)\s+|l')?(?:{SIDE_ANY})(?=\s*(?:[:;,.]|$))",
    re.I,
)
SIDE_ALONE = _form(
    rf"(?:{_FBD}\s*(?:of|:|,)?\s*)?(?:using |take |considering )?{_KEPT}(?:{SIDE_ANY})"
    rf"(?:\s*(?:part|side|half|piece|portion|section|(?:body|leg|arm|frame|wing|column|link)(?:\s[A-Z]{{2,6}}(?![\w]))?"
    rf"|Teil(?:system|körper)?|partie|parte|część)"
    rf"(?: of (?:the )?(?:cut|section|truss|structure))?| of (?:the )?(?:cut|section))"
    rf"(?=\s*(?:[:;,.]|$))",
    re.I,
)
