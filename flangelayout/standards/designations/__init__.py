"""Designations as people write them: read, looked up, and answered with values."""
