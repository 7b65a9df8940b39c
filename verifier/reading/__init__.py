"""A picture → lines of text, each with its place and how sure the reading is."""
