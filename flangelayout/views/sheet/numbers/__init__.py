"""By which rule the holes of a pattern are numbered in a view."""
