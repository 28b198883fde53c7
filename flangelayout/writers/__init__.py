"""From the drawing model to the bytes of a file: one format per module, each loading its library only when it runs."""
