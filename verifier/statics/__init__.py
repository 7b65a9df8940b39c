"""Free bodies, their equilibrium sums, and the independent solution."""
