"""The words that people write between equations, in the languages that the trade writes in."""


def _words(text: str) -> list[str]:
    return text.split()


# Runs of letters that hold a function's name and are words all the same.
NOT_FUNCTION = frozenset(
    _words(
        """
    constant cost sense sentido since single tangent using
        """
    )
)

# Units that are none of our names' likes even behind an operator.
SURE_UNITS = frozenset(
    _words(
        """
    MN Nm cm kN kNm kip kips lb lbs mm
        """
    )
)

# Words that stand for an equals sign between a name and its value.
EQUALS = frozenset(
    _words(
        """
    beträgt carries equals erhält es est has hat is ist jest porta przenosi soporta supporte trägt
    valen valent valgono vale vaut wird wynosi wynoszą è
        """
    )
)

# Units that may stand alone behind a bracket or a name.
UNIT_WORDS = frozenset(
    _words(
        """
    MN N N*m N-m N.m N/m Nm Nmm N·m N·mm Ton cm daN deg degrees ft ft-k ft-lb ft·lb in k-ft
    kN kN*m kN-m kN.m kN/m kNm kNmm kN·m kN·mm kg kgf kip kip-ft kip/ft kips kip·ft klf lb
    lb-ft lb/ft lbf lbs lb·ft m mm plf rad t tonf ° кН кН·м кНм
        """
    )
)

# Small words that are never names.
LEADS = frozenset(
    _words(
        """
    so hence thus therefore then and now or also with where giving gives taking since because
    somit daher dann und mit donc ainsi alors et avec quindi dunque luego entonces y con więc
    zatem stąd dus tedy logo portanto
    """
    )
)
"""Words that lead on to an equation."""
WITHIN = frozenset(
    _words("at of in on from to bei von im am des der de du di del della en à a w na van em no")
)
"""Words that join the parts of a name: `reaction at B`."""
STOP = frozenset(
    _words(
        """
    à así aux bo che chi cui dai dal dei ed fra gli hay jak man nel nie nos nous où ou più poi qu
    que qui sul sus tal też tra un una uno wir ya zum zur że ad al au are bei ce ces did do has
    our out us vom was we sag hog
    carries lleva niesie porte przenosi soporta supporte trägt überträgt
    udl says said
    above act acting acts ainsi all allora alors also an and ans are as assume asta at auf aus
    avec bar be beam because below both but by check checks comp compression con da daraus
    das de del dem den der des di die direction dla do donc down downward downwards du
    dunque e e.g. each eg el en entonces eq eqn equal equals equation es est et find folgt
    for force found from für get gives giving gli ha hence horiz horiz. horizontal i.e. ie
    if il in inspection into is ist it its jest la las le left les let lo los luego member
    mit must na nach no not note now oder of ok okay on or oraz ou par per por pour pręt
    quindi rearranging right rod say se see si since so soit solve solving stab strut stąd
    sub substitute substituting sur symmetry take taking tanto tens tension that the then
    therefore this thus tie to toward towards und up upward upwards use using vert vert.
    vertical von we when where which with więc y z zatem zero è и из откуда отсюда при
    следовательно тогда
        """
    )
)

# Words that may stand around the name of a body in a heading.
AROUND = frozenset(
    _words(
        """
    a aislamos alone am an at auf balance bar beam body ciało consider considera consideramos
    considerando considering considérons corpo corps cuerpo człon część das de del della den der
    des di die du el element elemento equilibrio equilibrium fbd for frame free freischnitt
    gleichgewicht il isola isole isoliamo isolons its kräfte körper la le looking member next now
    of on own part pieza pièce pour para per platte rigid równowaga scheibe si solid solide solido
    stab sólido system take taking tarcza teil teilkörper teilsystem the then träger von zu
    équilibre
        """
    )
)
