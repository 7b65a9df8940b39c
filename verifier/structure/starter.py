"""The sheet that `counterpoise new` writes."""

STARTER = """\
# A givens sheet says what the figure on the paper shows. One statement a line; what stands after
# a # is a comment. Change the figures, delete what is not needed, take the # away where it is.

title   Slip hoist bracket
units   kN, m                  # N kN MN kgf lbf kip, and mm cm m ft in; without this line N, m

# let   a = 2.4                # a named quantity; `let P` alone keeps P a letter

joint   P  0    0              # a point of the figure: x to the right, y up
joint   Q  2.4  0
joint   R  2.4  1.0
joint   S  0    1.0

member  P-Q, Q-R, P-R, R-S     # straight bars, pinned at both ends
# cable A-B                    # the same, but it cannot push
# body  deck: A, B, C          # one rigid piece through these points

pin     P                      # holds a joint both ways
pin     S
# roller B at 90               # holds it along one direction, degrees anticlockwise from +x
# fixed A                      # holds a body both ways and against turning

load    Q  6   down            # up, down, left, right, at DEG, toward K, away from K
load    R  2.5 right
# couple B 4 clockwise
# distributed A-B 3 down       # force per length; `3 to 5 down` varies evenly; `on plan`
# mass  Q 250                  # a weight, in kg

# angle θ = P-Q to P-R         # what the figure calls an angle, a force or a length
# call  T = force P-R

find    reactions, P-R, R-S    # what is asked for; without it, reactions and all members
# marks P-R 2
"""
