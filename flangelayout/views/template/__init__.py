"""The drilling template."""
