"""The physics of a laid piece: one model a file, SI floats, no text and no units."""
