"""Strips along the bolt circle of a ring: where it is parted, what a strip shows, where its words stand."""
