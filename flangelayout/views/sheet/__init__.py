"""The layout sheet."""
