"""The sizes of outlines, openings and single holes: what is dimensioned, and where each dimension finds its place."""
