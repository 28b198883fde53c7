"""Readings that tie what is cut into a plate to its edges and to each other."""
