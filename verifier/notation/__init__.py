"""One written line → a tree in which every node knows its place in the source."""
