"""What is given: joints, members, bodies, supports and loads, read from a sheet."""
