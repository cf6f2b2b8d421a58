"""Text to Recipe: source, tree with places, shape, links. Nothing is guessed on the way."""
