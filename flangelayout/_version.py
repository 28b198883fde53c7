"""The version, where any room can read it without importing the package's own door."""

__version__ = "0.13.0"
