"""Words that lead on to an equation, take one back, close a working or tell a reason."""

import re

from verifier.notation.patterns import loose

THAT_IS = (
    r"that is(?: to say)?|namely|c\.?\s?-?[àa]-?\s?d\.?|c'est[- ]à[- ]dire|d\.\s?[hi]\.|das heißt"
    r"|tzn\.?|tj\.|to znaczy|es decir|o sea|cioè|cioe|ossia|ovvero|т\.\s?е\.|то есть|即"
)
YIELDS = (
    r"(?:ce )?qui donne|donne|on (?:trouve|obtient|tire|a)|dá|dà|ger|gir|giver|geeft|zodat"
    r"|waaruit(?: volgt)?|medför|därav|alltså|ergibt(?: sich)?|liefert|folgt daraus"
    r"|result(?:a|ando|ing)|se (?:obtiene|tiene|deduce)|obtenemos|queda|si (?:ottiene|ha|ricava)"
    r"|ricavo|risulta|otrzymujemy|mamy|daje|obt[eé]m-se|temos|vem|tem-se|portanto|logo|então|donde"
    r"|assim|we (?:get|find|have|obtain)|get|find|implies|meaning|leading to"
)
"""What leads from one equation to the next: 'gives', 'ger', 'on trouve'."""
SPACE = re.compile(r"[\s;,:&]*(?:\.(?=\s|$|[A-Z]))?[\s;,:&]*")
LEADS_ON = re.compile(r"(?:<=>|∴|∵|⇒|=>|->|→|⟹|--+>)\s*")
_SHOULD = (
    r"(?:(?:it\s+)?should\s+(?:be|read|have been)"
    r"|(?:es\s+)?(?:muss|müsste|soll(?:te)?)\s+(?:sein|heißen)"
    r"|(?:ça\s+)?(?:doit|devrait)\s+être|(?:lire|il faut)(?=\s*:)|deb(?:e|ería)\s+ser"
    r"|d(?:eve|ovrebbe)\s+essere|(?:powinno|ma)\s+być)"
)
TAKES_BACK = re.compile(
    r"(?:[-–—]+\s*)?(?:no(?:[,!.]\s*|\s+(?=wait\b)))?(?:that(?:'s| is| was)\s+)?(?:(?:wrong|mistake"
    r"|my mistake|oops|sorry|wait|(?:no|nein|stop)(?=\s?[,!])"
    r"|incorrect|error|correction|scrap (?:that|this)|ignore (?:that|this)|falsch|Korrektur|faux"
    r"|erreur|sbagliato"
    r"|mal(?=\s*[,:;–-])|źle|richtig(?: ist)?(?=\s*:)|errore|correzione|incorrecto|corrección"
    r"|Berichtigung|rectification|błąd|poprawka|korekta)(?![\w'])[\s!.,;]*(?::\s*|[–—-]+\s+)?)+"
    rf"(?:{_SHOULD}(?![\w])[\s:,]*)?|{_SHOULD}(?![\w])[\s:,]*"
    # A word before it that a picture spoilt, as 'Wrougl', where a name gets its value anew.
    rf"|[^\W\d_]{{4,}}[\s!.,;]+{_SHOULD}(?![\w])[\s:,]*(?=[^\s=]{{1,12}}\s*=)",
    re.I,
)
LEAD = re.compile(
    loose(
        rf"(?:(?:{THAT_IS}|so|hence|thus|therefore|then|now|and|also|but|next|finally|again"
        r"|similarly|likewise|giving|gives|which gives|we get|get|"
        r"(?:aus|nach|durch|mit|de|d'après|selon|avec|par|con|da|dalla|dall'|per|por|z|ze|po|из|от)"
        r"(?=\s+Σ)|"
        r"u\.?[dv]\.?l\.?(?=\s+\d)|"
        r"where|with|because|since|as|so that|from|using|由|根据|利用|对于|(?-i:by)|by(?=\s+Σ)|via"
        r"|apply(?:ing)?|writ(?:e|ing)|equilibrium:|i\.e\.|ie|solve|solving|result"
        r"|com|sendo|onde|met|waarbij|answer|ans\.?|from above|from before|from this|using|"
        r"rearranging|rearrange|simplifying|dividing|recall|note|that|resolve|daraus"
        r"|folgt|also|somit|damit|mit|wegen|"
        r"donc|d'où|d'où|alors|on a|on obtient|avec|soit|ainsi|et|quindi|da cui|dunque"
        r"|si ha|con|luego|así(?: pues)?|entonces|por lo tanto|por tanto|"
        r"de donde|se tiene|folglich|daher|pertanto|perciò|de modo que|así que|więc|stąd|skąd|zatem"
        r"|portanto|logo|então|assim|dus|daaruit volgt|tedy|dakle|slijedi|alltså"
        r"|czyli|oraz|z tego|yields|yielding|whence|from which|отсюда|откуда|тогда"
        rf"|следовательно|(?:{YIELDS})(?=\s*:?\s*\S{{1,12}}\s*=)"
        r"|得|所以|因此|故|由此)(?:(?![\w'])|(?<=\.[a-z]\.)(?=\d))(?!\s*[=≈])[\s,:]*)+"
    ),
    re.I,
)
CLOSING = re.compile(
    loose(
        r"(?:as a )?(?:closing |final |quick )?(?:check(?:ing)?|verify|verification"
        r"|cross-?check|Probe|Kontr(?:olle|\.)|Spr\.|vérif\.|verif\.|comprob\.|comprobamos|vérifions"
        r"|verifichiamo|sprawdzamy|vérification|contrôle|"
        r"verifica|controllo|comprobación|comprobacion|verificación|verificacion"
        r"|sprawdzenie|kontrola|проверка|перевірка|验算|检验|検算)"
        r"(?![\w])[\s:,.;]*(?:using |by |with |of )?"
    ),
    re.I,
)
BY = re.compile(
    loose(
        r"(?:by|from|due to|aus|wegen(?: der)?|par(?: raison de)?|per(?: ragioni di)?"
        r"|por(?: razones de)?|z(?:e względu na)?|из) (?P<w>inspection|symmetry|sym\.?(?![^\W\d_])"
        r"|Symmetrie(?:gründen)?|symétrie|"
        r"simmetria|simetría|simetria|symetri[ię]|inspección|ispezione|inspection)[\s,:]*"
    ),
    re.I,
)
