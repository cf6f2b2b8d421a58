"""Tables of facts and figures, each with its source: plain literals, no code."""
