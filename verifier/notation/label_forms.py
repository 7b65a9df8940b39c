"""The forms in which people label a sum, as patterns; `POINT` stands for a moment point."""

CCW = (
    r"↺|anti-?\s?clockwise|counter-?\s?clockwise|a\.?c\.?w\.?|c\.?c\.?w\.?|[AC]\.?C\.?W\.?"
    r"|gegen den Uhrzeigersinn|antihoraire|antiorario|antihorario"
)
CW = r"↻|clockwise|cw|c\.w\.|C\.?W\.?|im Uhrzeigersinn|horaire|orario|horario"
ARROW = rf"(?:[↑↓→←↗↘↖↙]|{CCW}|{CW}|up(?:wards?)?|down(?:wards?)?|right|left)"
_PLUS = (
    r"(?:\+\s?(?:ve)?|\(\s?\+\s?\)|is positive|taken positive|(?:as )?positive|pos\.?|is \+|=\s?\+)"
)
SENSE = (
    rf"(?:\^?[({{\[]{{0,2}})\s*(?:{_PLUS}\s?{ARROW}|{ARROW}\s?(?:moments? "
    rf"|forces? )?(?:is |are |taken |as )*\(?{_PLUS}\)?|[↑↓→←↺↻↗↘↖↙])\s*[)\]}}]{{0,2}}"
)
_SIG = (
    r"(?:Σ(?:_\{[^{}]{0,6}\})?(?:\^\([^()]{0,4}\))?\s?|\b(?:[Ss]um|SUM|[Ss]umme|[Ss]omme|[Ss]omma|[Ss]uma"
    r"|[Ss]umatori[ao]|[Ss]igma|SIGMA)\b\s?(?:of"
    r"|der|des|de|delle|of the)?\s?(?:all )?|\b[ESZ]\s?(?=[FM])"
    r"|\b[Ss]um(?=M_?\(?[A-Z]|F_?[xyXYHV]))"
)
_AX = r"(?:k?[xyhvXYHVхуz]|kx|ky|hor\w*\.?|vert?\w*\.?)"
_DIR = (
    r"(?:[xyXY]\b(?:[- ](?:direction|dir\.?|axis))?|(?:the )?(?:horiz\w*\.?"
    r"|vert\w*\.?)(?: direction)?|[xy][- ]direction)"
)
_OF = r"(?:_?\{?\(?\s?F(?:_?\{?(?:[kni]|i?,?ext)\}?)?\s?\)?\}?)?"
_PART = r"(?:\s?\^\s?[({]{0,2}(?:[LPRGDSlprgds]|I{1,3}|[a-z]{3,9}\.?)[)}]{0,2}(?![\w]))?"
FORCE = [
    (
        rf"{_SIG}\(?\s?[FPRf](?:_?\{{?ext\}}?,?)?\s?(?:_?\s?[{{(]?/?"
        rf"|\\_)?\s?[ik]?,?(?P<ax>{_AX})(?:,?[ikn])?(?![A-Za-z0-9])[}})]?\)?"
    ),
    rf"{_SIG}\(?(?P<ax>[HVXYxy])(?:_?\{{?[kni]\}}?)?(?![\w])\)?",
    rf"{_SIG}F?\s?_?\{{?\(?(?P<ax>[↑→↓←])\)?\}}?",
    (
        rf"{_SIG}(?:forces|Kräfte|forze|fuerzas|sił|F)\s?(?:in|along|auf|en|w"
        rf"|,)?\s?(?:the |kierunku |direction )?(?P<ax>{_DIR}|vertically|horizontally"
        rf"|up\b)"
    ),
    rf"{_SIG}(?P<ax>horizontal|vertical|horiz\.?(?![a-z])|vert\.?(?![a-z]))\s?(?:forces?|components?)?",
]
BARE_FORCE = [
    r"F\s?_?\s?[{(]?(?P<ax>[xyhvHVXY])[})]?(?=\s*(?:=\s*0\s*)?(?:→|⇒|=>|->)\s*[^\s=]+[^=]*=)",
    r"F\s?_?\s?[{(]?(?P<ax>[xyhvHVXY])[})]?(?=\s*(?:=\s*0\s*)?(?:[(+]*\s*[↺↻↑↓→←]\s*[+)]*\s*)?[:\]])",
    r"R\s?\(\s?(?P<ax>[↑→↓←]|up|down|left|right)\s?\)",
    r"R\s?(?P<ax>[↑→↓←])(?=\s*[:\]])",
    r"(?:[Ii]n|[Aa]long)\s(?:the )?(?P<ax>[xyXY])(?:[- ](?:direction|dir\.?|axis))?(?=\s*[:,])",
    r"(?P<ax>[↑→↓←])(?:\s?\)|(?=\s*[:\]]))",
    r"\(\s?(?P<ax>[↑→↓←])\s?\)",
    r"\(\s?(?P<ax>[Hh]oriz\w*\.?|[Vv]ert\w*\.?|[Oo]rizz\w*\.?|[Pp]oziom\w*|[Pp]ion\w*|[xyXY])\s?\)(?=\s*[:,])",
    r"/\s?(?P<ax>[xyXY])(?=\s*:)",
    r"(?P<ax>[xyXY])\)(?=\s)",
    r"(?P<ax>[iîjĵ])(?=\s?:)",
    r"(?P<ax>[HVXYxy])(?=\s*[:\]])(?!\s*:\s*(?:inters|Schnittp|przeci|point|punto|punkt|пересеч))",
    (
        r"(?:[Rr]es(?:olv(?:e|ing)|\.)?|[Rr]esolution)\s?(?:forces )?\(?(?P<ax>↑|→|←|↓"
        r"|vert\w*\.?|horiz\w*\.?|in [xy]|up\w*|[xy]\b)\)?(?:\s?direction)?"
    ),
    (
        r"(?P<ax>[Vv]ert(?:ical(?:ly)?)?\.?|[Hh]oriz(?:ontal(?:ly)?)?\.?|[Hh]or\.?"
        r"|[xy][- ](?:direction|dir\.?|axis))\s?(?:equil(?:ibrium|ib?\.?|\.)?|forces?"
        r"|direction|dir\.?|balance)?(?=\s*[:,])"
    ),
    r"(?P<ax>[Vv]ert\.|[Hh]oriz\.|[Hh]or\.)(?=\s)",
    (
        r"(?P<ax>[Vv]ertikal|[Hh]orizontal|[Ww]aagerecht|[Ss]enkrecht|[Vv]erticalement"
        r"|[Hh]orizontalement|[Vv]erticalmente|[Oo]rizzontalmente|[Hh]orizontalmente"
        r"|[Pp]ionowo|[Pp]oziomo)(?:e[rsn]?(?=\s*:))?(?![\w])(?!\s(?:distances?|components?|parts?"
        r"|Anteile?|Abst|Komponente|pull|push|thrust|reaction|reach|arm|length|projection))"
    ),
    (
        r"(?:(?:[Ff]or|[Ff]rom|[Bb]y|[Ee]quating|[Bb]alancing"
        r"|[Uu]sing) (?:the )?)?(?P<ax>[Vv]ertical|[Hh]orizontal) (?:equilibrium|forces"
        r"|balance|equil\.?)"
    ),
    (
        r"(?:[Tt]otal |[Ff]orces? (?:acting )?|[Ss]um of |Σ\s?F?|F)?\(?(?P<ax>[Uu]p(?:wards?)?|UP"
        r"|[Ll]eft|[Rr]ight|↑|→|←)\)?\s?(?:forces?)?\s?=\s?(?:total |forces? (?:acting )?|Σ\s?F?|F"
        r"|sum of )?\(?(?:[Dd]own(?:wards?)?|DOWN|[Ll]eft|[Rr]ight|↓|→"
        r"|←)(?![\w])\)?\s?(?:forces?)?"
    ),
]
_TOTAL = r"(?:[Tt]otal |[Ss]um of (?:the )?|Σ\s?)?"
_TURNING = r"(?:M\b|moments?|total)?(?: (?:about|at) (?:point )?[A-Z]\w?)?"
POINTY = r"[A-Za-zΑ-Ωα-ωА-Я][0-9₀-₉]*'*"
MOMENT = [
    rf"{_SIG}(?:the )?(?:(?P<turn>{CCW}|{CW}) )?(?:moments?"
    rf"|Momente|momenti|momentos|momentów|Mom\.?"
    rf"|M)\s?\(?(?:about|at|um|om|kring|runt|rond|omkring|t\.o\.v\.|en|wrt|autour de|"
    r"par rapport [àa]|rispetto a[d]?|respecto (?:al?|de)|względem)\s?(?:the )?"
    r"(?:(?:left|right)(?:[- ]hand)? |upper |lower )?"
    r"(?:point |Punkt |punktu |pt\.? |support |hinge |joint |pin |pkt\.? )?"
    r"(?P<pt>POINT|[a-z]{2,})\)?",
    rf"{_SIG}\(?\s?(?:Mom\.?|[Mm]oments?(?=\s?[(_@])|[Mm](?:_?\{{?t\}}?(?=[/_]))?(?![a-z]{{2}})|τ)\s?"
    rf"(?:_?[ik]\^?(?=[A-Z({{]))?(?:_|@|/|\|_?|\^)?\s?\(?\{{?\(?/?\s?(?:[ik](?=[A-Z]))?"
    rf"(?P<pt>POINT)\s?\)?\}}?\)?{_PART}{_OF}"
    r"(?:\s?\^?\(?(?P<turn>[↺↻])(?!\s*\+)\)?)?",
    r"\(?Σ\s?[Mm]\s?\)\s?_?\{?(?P<pt>POINT)\}?",
    rf"{_SIG}M\b",
]
BARE_MOMENT = [
    r"[Mm]\s?\(\s?(?P<pt>POINT)\s?\)(?=\s*[:;,↺↻])",
    r"M\s?\(\s?(?P<pt>[A-Z])\s?\)(?=\s+[-\d(])",
    r"(?:[Mm]|[Mm]om(?:ents?|\.)?)\s?[@/]\s?(?P<pt>POINT)",
    r"/\s?(?P<pt>POINT)(?=\s*:)",
    r"[Mm]\s?\(\s?(?P<pt>POINT)\s?[;,]\s?\+?(?P<turn>[↺↻])\+?\s?\)",
    r"M_?\{?(?P<pt>POINT)\}?(?=\s+[-+]?[\d.,]+\s?[(·×*]?\s?[A-Z][^=]*=)",
    r"M_?\{?(?P<pt>POINT)\}?(?=\s*(?:=\s*0\s*)?(?:[(+]*\s*[↺↻↑↓→←]\s*[+)]*\s*)?[:\]])",
    r"(?:[Mm]om(?:ents?|\.)?|[Aa]bout|[Uu]m)\s?\(?(?P<pt>POINT)\)?(?=\s*[:\]])",
    r"[Aa]bout\s(?P<pt>[A-Z]\d?'?)(?=[, ][^=:\d]{6,90}:)",
    r"\(\s?(?P<turn>[↺↻])\s?(?P<pt>POINT)\s?\)",
    r"\(\s?(?P<pt>POINT)\s?\)\s{0,3}(?P<turn>[↺↻])",
    r"(?P<turn>[↺↻])\s?(?P<pt>POINT)(?=\s{2,}[-+−(\w])",
    r"(?P<pt>POINT)\s?(?P<turn>[↺↻])(?:\s?\)|(?=\s*[:+]))",
    r"(?P<turn>[↺↻])\s?(?:about |um )?_?\(?(?P<pt>POINT)\)?(?:\s?\)|(?=\s*[:+]))",
    r"M\s?\(?(?P<turn>[↺↻])\)?\s?_?(?P<pt>POINT)\s?(?=:)",
    (
        r"(?:[Tt]ak(?:e|ing)\s|[Bb]y\s|[Uu]sing\s"
        r"|[Cc]onsider(?:ing)?\s)?\s?(?:[Mm]oments?|[Mm]om\.?|M|[Mm]omente?|[Mm]omenti?"
        r"|[Mm]omentos?|[Mm]omenty)(?![a-z])\s?(?:equilibrium |eqn?\.? "
        r"|equation )?(?:about|abt\.?|a?round|at(?!t)|um|om|kring|runt|rond|t\.o\.v\."
        r"|autour d[eu']|en|par rapport [àa]u?|au point"
        r"|rispetto a[dl]?|(?:at|in)torno a[dl]?|in|respecto (?:al?|de)|względem|wzgl\.?"
        r"|(?:w|o)(?=\s))\s?(?:the |den |dem |der |das |le |la |el |il |l')?"
        r"(?:(?:left|right)(?:[- ]hand)? |upper |lower |fixed |linke[ns]? |rechte[ns]? )?"
        r"(?:point |pkt |punkcie |polo |Punkt |punto |punktu |support |hinge |joint |node |pin "
        r"|base |end |foot |toe |heel |head |top |crown |apex |corner |tip "
        r"|(?:Auf)?[Ll]ager |Gelenk |appui |articulation |rotule |apoyo |appoggio "
        r"|cerniera |podpory |pkt\.? |nudo |nodo )?(?P<pt>POINT(?![a-z])|[a-zé]+(?: [A-Z]\b)?)"
    ),
    r"(?:[Tt]aking moments|[Tt]ake moments)\b",
    (
        rf"(?P<bal>{_TOTAL}(?:{CCW}|ACM|CCWM|ACWM)\s?{_TURNING})\s?=\s?{_TOTAL}(?:{CW}"
        rf"|CM|CWM)\s?{_TURNING}(?=\s*(?:[:,.⇒→]|=>|->|$))"
    ),
    (
        rf"(?P<bal>{_TOTAL}(?:{CW}|CM|CWM)\s?{_TURNING})\s?=\s?{_TOTAL}(?:{CCW}|ACM"
        rf"|CCWM|ACWM)\s?{_TURNING}(?=\s*(?:[:,.⇒→]|=>|->|$))"
    ),
]
ALONG = [
    rf"{_SIG}F\s?_?\{{?\(?(?P<dir>[∥⊥]\s?(?:to\s)?(?:[A-Z]\w*|plane|slope)?|[tn](?![a-z])|[↗↘↖↙])\)?\}}?",
    (
        rf"(?:{_SIG}(?:forces?|F)?|[Rr]esolv(?:e|ing)|[Rr]es\.?)\s?(?P<dir>(?:parallel to"
        rf"|perpendicular to|perp\.? to|along|normal to|∥|⊥|//)\s?(?:to )?(?:the )?[\w]+(?:,? (?:at"
        rf"|@) \d+(?:\.\d+)?\s?(?:°|deg(?:rees)?\b)?)?|(?:at|@) \d+(?:\.\d+)?°?)"
    ),
    r"R?\s?\(\s?(?P<dir>[↗↘↖↙∥⊥][^()]{0,12})\)",
    r"(?P<dir>[↗↘↖↙])(?=\s*[:\]])",
    rf"{_SIG}F\b(?![\w(])",
    r"Σ\s?(?P<dir>[A-Za-z]\w{0,6})(?=\s*(?:=\s*0\s*)?(?:[:;,\]]|$))",
]
