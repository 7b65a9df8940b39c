"""What only sets the type of a line is blanked out; rows of tables and balances get their `=`.

Every step keeps the text as long as it was, so that places stay.
"""

import re
from itertools import pairwise

from verifier.notation.glosses import glossed
from verifier.notation.proportions import proportioned
from verifier.notation.spellings import spelt
from verifier.notation.tuples import without_pairs

STRUCK = re.compile(r"~~(.+?)~~")
FORMULA = re.compile(r"\s*=\s*(?:SUM|SUMME|SOMME|MAX|MIN|ROUND|IF|AVERAGE|INDEX|LOOKUP)\s?\(", re.I)
_BOLD = re.compile(
    r"(?<![\w)*])\*\*(?=\S)|(?<=\S)\*\*(?![\w(*])|`|(?<![\w])__(?=\w)|(?<=\w)__(?!\w)"
)
_SAYS_NOTHING = re.compile(
    r"\s*[■□∎◼◻][\s;]*$|^\s*(?:\.{2,}|…)\s*(?==)"
    r"|\s<[-=]{2,}[\w .!;]*$|\s[<←]-*\s*(?:ans|answer|ANS|Ans)\w*\.?[\s;.]*$"
    r"|(?<=[\w}])\s*\((?:acting )?(?:on|at|of|for|by)\s[^()=]{1,20}\)(?=\s*=)"
    r"|(?<=[^\W\d_]{3})\s+\((?:anti-?|counter-?)?(?:clockwise|upwards?|downwards?|sagging|hogging)\)(?=\s*=)"
    r"|\s(?:o\.\s?k\.?|i\.\s?O\.?|q\.\s?e\.\s?d\.?|c\.\s?v\.\s?d\.?|w\.\s?z\.\s?b\.\s?w\.?)\s*[!;.]*$"
    r"|\s{2,}#\s(?=\s*=|.*[^\W\d_]{3}|\s*(?:kN|N|m|mm|kNm|lb|kip)\b).*$|(?<=[\w)\]])\s+//\s[^=]*$"
    r"|\(\s?(?:to |correct to )?\d\s?(?:s\.?\s?f\.?|d\.?\s?p\.?|sig\.?\s?fig\w*\.?"
    r"|dec\w*\.?(?: places)?)\s?\)"
)
_POINT_APART = re.compile(r"(?<==)(\s*0\s+)[·•*](?=\s+[^\W\d_]\S{0,12}\s*=)")  # = 0  •  S = 20/5
_COLON_DASH = re.compile(r"(?<=[^\s:=]):[-–—](?=\s|$)|(?<=[\w.]\s):[-–—](?=\s|$)")  # Given :-
_ANGLED = re.compile(r"<([TC])>")
_SENSE_IN = re.compile(
    r"(?<=[(\[])(?P<w>Zug|Druck|[Tt]ension|[Cc]ompression|[Tt]raction|[Tt]racción|[Cc]ompresión"
    r"|[Tt]razione|[Cc]ompressione|[Rr]ozciąganie|[Śś]ciskanie|[Tt]rek|[Dd]ruk|[Tt]ie|[Ss]trut)"
    r"\s+(?:in|im|of|dans|en|de|nell?[ao']?|d'|w)\s?[^()=\d]{1,20}(?=[)\]])"
)
_DIRECTED = re.compile(
    r"(?<![\w])(?P<name>[RF]_?\{?[A-Z]\d?\}?)\((?P<way>[vhVHxy])\)(?=\s*[=+·×-])"
)
_SIGN_APART = re.compile(r"\(([-+])\)(?=\s?\d)")
_SET_APART = re.compile(r"(?<![\w_])_([A-Z]?[a-z]{2,}(?: [a-z]+){0,4}:?)_(?![\w_])")
_LEANING = re.compile(r"(?<![\w)*])\*(?=[^\W\d])([^*=]{2,60}:)\*(?=\s)")
_NAMED = re.compile(r"(?<![\w.,'])\"([^\W\d][\w' -]{0,24})\"(?!\w)")
_QUOTED = re.compile(r'\s*"[^"]*"[\s.,;]*$')
_FRINGE = re.compile(
    r"[■□∎◼◻<←#\"]|//|^\s*[.…]|\((?:acting |on|at|of|for|by|anti|count|clock|upw|down|sagg|hogg)"
    r"|\(\s?(?:to |correct to )?\d\s?[sd]"
    r"|(?<!\w)_[A-Za-z]|\s[oiqcw]\.\s?[kOevz]"
)
_SHOUTED = re.compile(
    r"\b(?:SUM|OF|THE|ALL|MOMENTS?|FORCES?|ABOUT|POINT|TAKING|TAKE|RESOLV(?:E|ING)|VERTICAL(?:LY)?|"
    r"HORIZONTAL(?:LY)?|DIRECTION|CLOCKWISE|ANTICLOCKWISE|COUNTERCLOCKWISE|ASSUM(?:E|ING)|SO|HENCE|"
    r"THEREFORE|AND|FROM|CHECK|SYMMETRY|INSPECTION)\b|(?<=\+)(?:UP|DOWN|RIGHT|LEFT)\b"
)
_LEFTWARDS = re.compile(  # = −73.3 lb = 73.3 lb <--
    r"(=\s*-\s?(?P<n>\d[\d.,]*)\s?(?:[^\W\d]+\s*)?=\s*(?P=n)(?:\s?[^\W\d]+)?\s*)<-{2,}(?=\s*(?:[;,.]|$))"
)
_LEADERS = re.compile(r"^(\s*[^\W\d]\S{0,12}\s*)([.…]{3,})(?=\s*[-+]?\d)")
_TWO_WAYS = re.compile(
    r"^(\s*)(↑|→|↺|↻|up|right|[ac]?CW|CCW|clockwise|anticlockwise|rechts|oben)(\s*:)([^=;,:]+)[;,]\s*"
    r"(?:↓|←|↺|↻|down|left|[AC]?CW|clockwise|anticlockwise|links|unten)\s*:(?=[^=;,:]+(?:$|=))",
    re.I,
)
_NUMBER = r"\s?\d[\d.,]*(?:\s?(?:m|ft|in|cm|mm))?\s?"
_AT_X = (
    r"(?:[Aa]t|[Bb]ei|[Aa]n der Stelle|[Ff]or|[Ff]ür|[Ee]n|[Pp]our|[Pp]er"
    rf"|[Dd]la|[Aa]|À)\s[xzs]\s?=\s?{_NUMBER}"
)
_PLACED = re.compile(rf"^\s*{_AT_X}(?::|,(?=\s))")
_DRAWN_SENSE = re.compile(  # `+) ΣM_A`, `^ ΣF_y`: arrows typed in ASCII
    r"^\s*(?:\+\s?[)^]|\(\s?\+(?!\s?[↺↻↑→])|\^\s?\+?|-+>\s?\+?|\+\s?-+>)\s*"
    r"(?=Σ|[Ss]um\b|M_?\{?[A-Z]\}?\s?:)"
)
_ORDINATE = re.compile(  # y(1) = 0.25
    r"(?<![\w.)])(?P<f>[yηv])\s?\((?P<at>\d{1,2})(?:[.,]\d+)?\)(?=\s*=)"
)
_PART = r"\s?[-+]?\s?\d[\d.,]*(?<![.,])(?:\s?[A-Za-z]{1,2})?\s?"
_VECTOR = re.compile(  # F_Q = (-75, -129.9) N
    rf"(?<![\w.])(?:\{{[^\W\d]\w*\}}|[^\W\d]\w*)\s*=\s*(?:\({_PART}(?:(?:,\s|;){_PART}){{1,2}}\)|\[{_PART}(?:(?:,\s|;){_PART}){{1,2}}\]"
    rf"|[(\[{{{{]{_PART}(?:(?:,\s|;){_PART}){{2,30}}[)\]}}}}](?:\^?T)?)"
    r"(?:\s?[A-Za-z]{1,2})?(?=\s*(?:[,;.]|$))"
)
_PAIR = re.compile(  # OA : (−4 ; 3)/5
    rf"(?<=[\s:])\({_PART}(?:;|,\s){_PART}\)(?:\s?/\s?[\d.,]+)?(?:\s?(?:k?N|kips?|lbf?|kgf)\b)?"
)
_PLACE = re.compile(  # `the line from C(0,a) to (2a, -a)`
    r"(?:(?<=\b[A-Z])|(?<=\b(?:at|to|in|en|an)\s))"
    r"\((?=[^()]*[a-z])-?\d*[a-z]?(?:/\d)?,\s?-?\d*[a-z]?(?:/\d)?\)"
)
_PANEL = re.compile(  # `V in panel 2 = 13 − 15 = −2`: what is worked out there has no name here
    r"((?:^|(?<=[,;:]))\s*(?:[^=,;:]{0,30}\s)?(?:in|im|dans|en|nel|w|em)\s(?:the\s|la\s|le\s|el\s|il\s)?"
    r"(?:panel|bay|span|part|stretch|field|[Ff]eld|[Aa]bschnitt|panneau|travée|tronçon|tramo|vano|campo"
    r"|campata|tratto|przedziale|polu|przęśle|vak)\s\(?(?:\d{1,2}|I{1,3}|IV|V)\)?\s*)=(?=\s*[-+−]?[\d(])"
)
_ABOVE = re.compile(r"(?<=[VMQN]\sat\s)([A-Z]\d?)/[A-Z]\d?(?=\s*=)")  # `M at B/F`: F is above B
_TUPLES = re.compile(  # H is at (4 cos 40°, 4 sin 40°) = (3.064, 2.571)
    r"\([^()=,;]*\d[^()=,;]*(?:,\s|;)[^()=;]*\)\s*=\s*\([^()=,;]*\d[^()=,;]*(?:,\s|;)[^()=;]*\)"
)
_CROSS = re.compile(  # `r × F = 4.5 (0.67) − 0 = 3.03`: the numbers say it
    r"(?:^|(?<=[:;,]))\s*r(?:_\{?\w+\}?)?\s?[x×]\s?[A-Za-z](?:_\{?\w+\}?)?\s*=(?=[-+\d.,\s()·*×]+=)"
)
_COLUMNS = re.compile(  # `load C   +75   −260   0.6   0.4   −260·0.6 − 75·0.4 = −186`
    r"^\s*(?:\d[\d.,]*\s?(?:k?N|kips?|lbf?|kgf)|[^\W\d][\w ]{0,30}?)"
    r"(?:\s{2,}[-+]?[\w.,]{1,8}){2,}\s{2,}"
    r"(?=[-+\d(][^=]*=\s*[-+]?\d[\d.,]*\s*$)"
)
_WAY_GIVEN = re.compile(  # down = 2.2 sin70 = 2.07
    r"(?:^|(?<=[:,;]))\s*(?:down|up|left|right|across)\s*=(?=\s*\d[^=,;]*=\s*\d)", re.I
)
_POINTED = re.compile(r"\b(?:B\.\s?(?P<M>M)|S\.\s?(?P<V>F))\.?(?=\s*=)")  # `B.M. = 12 × 3`
_SHORTENED = re.compile(r"\b(?:B\.\s?(?P<BM>M)|S\.\s?(?P<SF>F))\.?(?=\s)")  # `B.M. at C = 3`
_DRAWN_AS = re.compile(  # 6 kN upright = 3 cm: a force and its length on paper
    r"(?<![\w.,=≈])(?<![=≈]\s)\d[\d.,]*\s?(?:[kM]?N|kips?|lbf?|kgf|daN)(?:\s[^\W\d_]{2,}){0,3}\s?[=≙≘]\s?\d[\d.,]*\s?"
    r"(?:cm|mm|in)\b(?!\s?[·*×/])"
)
_COMMA_APART = re.compile(r"(\d), (\d{1,3})(?=\s*=\s*0(?![.,\d]))")  # − 20, 25 = 0
_OVER = re.compile(  # 4 kN/m over 6 m = 24 kN
    r"(?<=\d)(?P<per>\s?(?:[kM]?N|kips?|k|lbs?|lbf)/(?:m|mm|cm|ft)|\s?plf|\s?klf)\s"
    r"(?:over|on|for|along|acting over|auf|über|sur|su|sobre|em|na|op|over)\s(?:a length of )?"
    r"(?=\d[\d.,]*\s?(?:m|mm|cm|ft)\s?=\s?\d)"
)
_GROWS = re.compile(
    r"tri[aá]ng|dreieck|driehoek|trójk|trap[eéèê]z|\b(?:to|bis|à|a|do|tot|até|peak|max\w*|up to)\s"
    r"|vary|linear",
    re.I,
)
_TURN = re.compile(r"(?<![\w↺↻])(?:A\.?C\.?W\.?|C\.?C\.?W\.?|C\.?W\.?)(?=\s+[-+]?\s?[\d(A-Z])")
_TALLY = re.compile(rf"\s*(?:[^=:]{{1,30}}:\s*)?{_TURN.pattern}[^=]*=\s*\d[^=]*;\s*{_TURN.pattern}")
_SET_OUT = re.compile(  # a joint in a column of its own: `A     13 + 0.6 AE = 0`
    r"^(\s*[A-Z]\d?'?)\s(\s{2,})(?=[-+]?\s?[\w(√.][^=]*[-+][^=]*=\s*0(?![.,]?\d)|[A-Z]\w{1,6}\s*=)"
)
_SIZED = re.compile(r"∥(\s?[A-Z]\w*\s?)∥")  # ‖R‖ = 113 N
_SIZED_ARROW = re.compile(  # = −2.667 kN (↓ 2.667 kN)
    r"(?<=\w )\((?P<arrow>[↑↓→←])\s?\d[\d.,]*\s?(?:[kM]?Nm?|kips?|k|lbf?|kgf)?\)"
)
_HEAD_ASIDE = re.compile(  # `Joint A (sin α = 0.8; cos α = 0.6)`
    r"^(\s*(?:\d{1,2}[.)]\s+)?[^\W\d_]{3,}\s+[A-Z]\d?'?)\s\("
    r"((?:[^()=]{1,30}=[^()=]{1,30}[;,]\s){1,3}[^()=]{1,30}=[^()=]{1,30})\)(?=[\s:;.]*$)"
)
_HEAD_TOLD = re.compile(  # `Node B (both bars at 45°, c = s = 0.7071):`
    r"^(?P<head>\s*(?:\d{1,2}[.)]\s+)?[^\W\d_]{3,}\s+[A-Z]\d?'?)\s\((?P<words>[^()=]{3,50}[,;]\s)"
    r"(?P<told>[^\W\d]\w*(?:\s?=\s?[^\W\d]\w*)?\s?=\s?-?\d[\d.,]*)\)(?=[\s:;.]*$)"
)
_WHOLE_ASIDE = re.compile(r"^\s*\((?P<inside>[^()]*(?:\([^()]*\)[^()]*)*:[^:]*=[^:]*)\)[\s.;]*$")
_LABEL = r"(?:\s?\(?(?:[TCZD]|Zug|Druck|tens\w*|comp\w*|trac\w*|trazione|rozc\w*|ścisk\w*)\b\)?)"
_TOLD = rf"[A-Z]\w{{1,5}}'?\s[-+]?\s?\d[\d.,]*(?:\s?[kM]?N|\s?kips?|\s?lbs?)?{_LABEL}?"
_SUMMARY = re.compile(  # Results: AC −13 (C), BD +5 (T), AB 0
    rf"\s*(?:[^\W\d][^:=]{{2,40}}:\s*)?{_TOLD}(?:[,;]\s+{_TOLD}){{2,}}[\s.;]*", re.I
)
_LABELLED = re.compile(rf"\d{_LABEL}", re.I)
_ANSWER = r"[A-Z]\w{0,5}'?\s[-+]?\s?\d[\d.,]*(?:\s?[kM]?N|\s?kips?|\s?lbs?)?(?:\s?\(?[TCZD]\)?)?"
_ANSWERS = re.compile(rf"\s*{_ANSWER}(?:\s+[/•·]\s+{_ANSWER}){{2,}}[\s.]*")  # AC +20 / BC −16 / …
_ANSWERED = re.compile(r"(?<![\w])([A-Z]\w{0,5}'?)\s(?=[-+]?\s?\d)")
_FRAMED = re.compile(
    r"^(\s*(?:\d{1,2}[.)]\s+|[a-z]\)\s+)?)([-=*~_#·.<>]{2,}|[*_])(\s*[^\W_].*?)\s*(?:[-=*~_#·.<>]{2,}|[*_])(\s*[;,.]?\s*)$"
)
_ROW = re.compile(r"^\s*\|\s.*\s\|[\s;]*$")
_TABLE = re.compile(r"^\s*\|\s.*\s\|[\s;]*$|\s\|\s.*\s\|\s")
_OPERATORS = frozenset("=+*/·(-")
_EMPTY_CELL = re.compile(r"(\|\s*)([-–—]{1,3})(?=\s*\|)")
_CELL = re.compile(r"([^|]*)\|")
_NAME_CELL = re.compile(r"\s*[^\W\d]\S*\s*$")
_VALUE_CELL = re.compile(r"\s*[-+]?\d")


_KIPS = re.compile(  # `AY = 3.9 K`, `M = −6.3 FT-K` on a sheet in kips
    r"(?<=\d)\s?(?:K|FT-K|K-FT|K-IN|IN-K|KIP-FT)(?=\s*(?:[.,;)]|$)|\s+(?:[A-Z]{2,5}|[A-Z]+_?\w?\s*=))"
)


def kips(text: str) -> str:
    """Write units of kips in capitals as they are written elsewhere."""
    return _KIPS.sub(lambda match: match.group().lower(), text)


def unset(text: str) -> str:
    """Blank out what only sets the type: emphasis, quotes, 'ANS', the digits that are kept."""
    if '"' in text:
        text = _NAMED.sub(r" \1 ", text)
    if _FRINGE.search(text):
        text = _LEFTWARDS.sub(lambda m: f"{m[1]}←".ljust(len(m.group())), text)
        text = _ANGLED.sub(r"(\1)", text)
        text = _SAYS_NOTHING.sub(_blank, text)
        text = _SET_APART.sub(r" \1 ", text)
        if _QUOTED.match(text):
            text = text.replace('"', " ")
    text = spelt(text)
    if ":" in text:
        text = _COLON_DASH.sub(": ", text)
    if "*" in text or "`" in text or "__" in text:
        text = _LEANING.sub(r" \1 ", text)
        text = _BOLD.sub(_blank, text)
    return text


_INTEGRAL = re.compile(
    r"∫[^=;]{1,60}?\bd\s?[a-zξ]\b(?:\s+from\s\S+\sto\s\S+)?\s*=\s*"  # its value is told behind it
    r"|=?\s*∫[^=;]{1,60}?\bd\s?[a-zξ]\b(?:\s+from\s\S+\sto\s\S+)?(?=\s*(?:[,;.]|$))"
)
_ENTRY = r"[-+−]?(?:[\d.,]|√|sqrt\(?(?=\d))[\d.,√/]*(?:sqrt\(?\d+)?\)?"
MATRIX = re.compile(
    r"=\s*[\[(]\s*[-+−]?\d[\d.]*(?:\s+[-+−]?\d[\d.]*){1,12}\s*[\])]\s*$"  # x = [5.7  8.3]
    rf"|[\[({{|]\s*{_ENTRY}(?:[\s,]+{_ENTRY}){{1,12}}\s*(?:;|[\]|]\s*[\[{{(|])"
)
_AS_NAME = re.compile(  # `section through O (=EF), U (= BC)`: what its letter stands for
    r"(?<![\w.])(?P<name>[A-Z]\d?'?)\s?\(\s?(?P<is>=\s?[A-Z]\d?'?-?[A-Z]\d?'?)\s?\)"
)
FUNCTION = re.compile(
    r"\s*\S+\s:\s\S+\s:\s\S+\s=\s[\d.,√]+\s?:\s?[\d.,√]+\s?:\s?[\d.,√]+\s*$|"
    r"\s*(?:[^=:]{1,80}:\s*)?[A-Zwqp](?:_?\w)?\s?\([xyzsξ]'?\)\s*="
    r"|\s*(?:[^=:]{1,30}:\s*)?[VQM]\s?\(\s?[A-Z]\d?'?\s?-\s?[A-Z]\d?'?\s?\)\s*="  # in a panel
    rf"|\s*(?:(?:[Ff]or|[Ff]ür|[Pp]our|[Pp]er|[Pp]ara|[Dd]la|[Ii]n)\s)?{_NUMBER}\s?[<≤]\s?[xzs]\s?[<≤]"
    rf"|\s*(?:{_AT_X}:?\s*)?M\s?\({_NUMBER}\)\s*=|\s*{_AT_X}:\s*[VQN]\s?\({_NUMBER}\)\s*="
)


_AT_VALUE = re.compile(  # `M_B = M(3) = −11.8`: the function's value there
    rf"(?P<keep>(?P<f>[MVNQ])_?\{{?\w{{1,2}}\}}?\s*=)\s*(?P=f)\s?\({_NUMBER}\)\s*="
)
_MOST_AT = re.compile(  # `max M = M(2,25) = 10,1`: its place says more
    rf"(?<![\w])(?:max\.?\s?M|M_?\{{?max\}}?)\s*=\s*(?=M\s?\({_NUMBER}\)\s*=)"
)
_STRETCH = r"[A-Z]\d?'?\s?-\s?[A-Z]\d?'?"
_STRETCHES = re.compile(
    r"(?P<lead>\s*(?:[VQTNM]|SF|[Ss]hear(?:\sforce)?|[Qq]uerkraft|[Nn]ormalkraft|[Tt]agli[oa]"
    r"|[Cc]ortante|[Ee]ffort tranchant)\s*:)"
    rf"\s*{_STRETCH}\s+[-+]?\s?\d"
)
_ONE_STRETCH = re.compile(rf"(?<=[:,;])\s*{_STRETCH}(?=\s+[-+]?\s?\d)")


_WAY = (
    r"(?:[↑↓→←]|(?:to the |nach |vers (?:le |la )?|hacia (?:la |el )?|a (?:la )?|verso |w |do )?"
    r"(?:up|down|left|right|oben|unten|links|rechts|haut|bas|gauche|droite|arriba|abajo|izquierda"
    r"|derecha|alto|basso|destra|sinistra|prawo|lewo|góry|dołu)(?:wards?)?)"
)
_TWO_PARTS = re.compile(  # `A = 3 kN to the right and 4 kN up`
    rf"(?P<one>(?:^|\s)[A-Z]\w*\s(?:=|is|ist|carries|takes)\s?\d[\d.,]*\s?(?:[kM]?N|kips?|lbf?|kgf?)?\s{_WAY})\s(?P<and>and|und|et|y|e|i|&)"
    rf"(?P<two>\s+\d[\d.,]*\s?(?:[kM]?N|kips?|lbf?|kgf?)?\s{_WAY}(?!\w))"
)


def told(text: str) -> str:
    """Put what a line's layout says into signs: rows of a table, leaders, both ways at once."""
    if "(" in text:
        text = glossed(text)
        text = without_pairs(text)
        text = _TUPLES.sub(_blank, text)
    if "(" in text and ":" in text:
        text = _aside(text)
    if "∫" in text:
        text = _INTEGRAL.sub(lambda m: " " * len(m.group()), text)
    if text.isupper() or _SHOUTED.search(text):
        text = _SHOUTED.sub(lambda m: m.group().lower(), text)
    text = _DRAWN_SENSE.sub(_blank, text)
    text = _PLACED.sub(_blank, text)
    if "(" in text and "=" in text:
        text = _ORDINATE.sub(lambda m: f"{m['f']}{m['at']}".ljust(len(m.group())), text)
    if "(" in text:
        text = _PLACE.sub(_blank, text)
        text = _MOST_AT.sub(_blank, text)
        text = _AT_VALUE.sub(lambda m: m["keep"].ljust(len(m.group())), text)
    if "∥" in text:
        text = _SIZED.sub(r"|\1|", text)
    text = _CROSS.sub(_blank, text)
    if "   " in text:
        text = _COLUMNS.sub(_blank, text)
    text = _WAY_GIVEN.sub(_blank, text)
    text = _TWO_PARTS.sub(lambda m: f"{m['one']}{' ' * len(m['and'])},{m['two']}", text)
    if "=" in text:
        text = text.replace(":=", " =")
        text = _PANEL.sub(r"\1:", text)
        text = _ABOVE.sub(lambda m: m[1].ljust(len(m.group())), text)
        text = _POINT_APART.sub(r"\1;", text)
        text = _OVER.sub(_spread, text)
    text = _POINTED.sub(lambda m: (m.lastgroup or "").ljust(len(m.group())), text)
    text = _SHORTENED.sub(lambda m: (m.lastgroup or "").ljust(len(m.group())), text)
    text = _DRAWN_AS.sub(_blank, text)
    text = _COMMA_APART.sub(r"\1,\2 ", text)
    if "=" in text and ("," in text or ";" in text):
        text = _VECTOR.sub(_blank, text)  # its parts are judged where they are put in
    text = proportioned(text)
    if "(" in text and "=" not in text:
        text = _PAIR.sub(_blank, text)
    if _TALLY.match(text):
        text = _TURN.sub(_blank, text)
    if stretches := _STRETCHES.match(text):  # `V: A-C 625 N, C-D 625 - 1200 = -575 N`
        text = _ONE_STRETCH.sub(_blank, text)
        text = " " * stretches.end("lead") + text[stretches.end("lead") :]
    text = _TWO_WAYS.sub(_both_ways, text)
    if "(" in text:
        text = _AS_NAME.sub(lambda m: f"{m['name']} {m['is']}".ljust(len(m.group())), text)
        text = _SIGN_APART.sub(r" \1 ", text)
        text = _SENSE_IN.sub(lambda m: m["w"].ljust(len(m.group())), text)
        text = _DIRECTED.sub(r"\g<name>\g<way>  ", text)
        text = _SIZED_ARROW.sub(lambda m: f"({m['arrow']})".ljust(len(m.group())), text)
        text = _HEAD_ASIDE.sub(r"\1, \2 ", text)
        text = _HEAD_TOLD.sub(lambda m: f"{m['head']}, {' ' * len(m['words'])}{m['told']} ", text)
        text = _WHOLE_ASIDE.sub(lambda m: f" {m['inside']} ".ljust(len(m.group())), text)
    text = _SET_OUT.sub(r"\1:\2", text)
    if _ANSWERS.fullmatch(text):
        text = re.sub(r"\s[/•·]\s", " ; ", _ANSWERED.sub(r"\1=", text))
    if "=" not in text and len(_LABELLED.findall(text)) > 1 and _SUMMARY.fullmatch(text):
        text = _ANSWERED.sub(r"\1=", text)
    text = _FRAMED.sub(_bare, text)
    text = _cells(text)
    return _LEADERS.sub(lambda m: m[1] + "=".ljust(len(m[2])), text)


def _spread(match: re.Match[str]) -> str:
    """Take `4 kN/m over 6 m = 24 kN` as a product, unless a load that grows is told."""
    if _GROWS.search(match.string, 0, match.start()):
        return match.group()
    return f"{match['per']} × ".ljust(len(match.group()))


_ASIDE = re.compile(r"(?<=\s)\((?=[^\W\d_][^()=:;]{3,40}:(?!\s*[a-zß-ÿ]{4})[^=]*=)")


def _aside(text: str) -> str:
    """Take a sum told in brackets as one of its own: `B = 45 N (moments about A: 4 B = 180)`."""
    for opened in _ASIDE.finditer(text):
        depth = 0
        for at in range(opened.start(), len(text)):
            depth += {"(": 1, ")": -1}.get(text[at], 0)
            if not depth:
                inside = text[opened.end() : at]
                return f"{text[: opened.start()]};{inside} {text[at + 1 :]}"
    return text


def _blank(match: re.Match[str]) -> str:
    return " " * len(match.group())


def _both_ways(match: re.Match[str]) -> str:
    """Take `↑: A + B; ↓: 6` as the balance `↑: A + B = 6`, as wide as it was."""
    lead = "".join(match.groups())
    return lead + "=".rjust(len(match.group()) - len(lead))


def _bare(match: re.Match[str]) -> str:
    """Blank out the rules around a title: `--- Joint C ---`, `== Joint C ==`."""
    lead, rule, title, _ = match.groups()
    return (lead + " " * len(rule) + title).ljust(len(match.group()))


def _are_cells(pieces: list[str]) -> bool:
    """Tell whether bars part cells, `… = 3 | ΣF_y: …`, and are none around a size."""
    ends = [(one.rstrip()[-1:], one[-1:], two[:1]) for one, two in pairwise(pieces)]
    return all(last not in _OPERATORS | {""} and gap == " " == to for last, gap, to in ends)


def _cells(text: str) -> str:
    """Take a table's row as equations: a name's cell before a value's says `name = value`."""
    equals = "=" in text
    if "|" not in text or not (_ROW if equals else _TABLE).search(text):
        return text.replace("|", ";") if equals and _are_cells(text.split("|")) else text
    row = text = _EMPTY_CELL.sub(lambda m: m[1] + " " * len(m[2]), text)
    for match in _CELL.finditer(text):
        name = not equals and _NAME_CELL.match(text, *match.span(1))
        value = _VALUE_CELL.match(text, match.end())
        sign = "=" if name and value else ";" if not (name or value) or equals else ","
        if equals and text[match.end() : match.end() + 3].lstrip()[:1] == "=":
            sign = " "
        row = row[: match.end() - 1] + sign + row[match.end() :]
    return row.replace("|", " ")
