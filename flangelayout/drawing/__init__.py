"""The intermediate drawing model: the only thing a writer sees."""
