"""Sheets that several tests work."""

HOIST = """units kN, m
joint P 0 0
joint Q 2.4 0
joint R 2.4 1.0
joint S 0 1.0
member P-Q, Q-R, P-R, R-S
pin P
pin S
load Q 6 down
load R 2.5 right
"""

BEAM = """units kN, m
joint A 0 0
joint B 2 0
joint C 5 0
joint D 6 0
body deck: A, B, C, D
pin A
roller C
load B 6 down
distributed A-D 2 to 5 down
couple D 4 clockwise
"""

TRUSSED = """units kN, m
joint A 0 0
joint D 2 0
joint C 4 0
joint E 6 0
joint B 8 0
joint F 2 -1
joint G 6 -1
body left: A, D, C
body right: C, E, B
member A-F, F-G, G-B, D-F, E-G
pin A
roller B
distributed A-C 3 down
distributed C-B 3 down
"""
