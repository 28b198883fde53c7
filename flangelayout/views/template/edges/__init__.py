"""What stands at the edges of tiles: the words of their seams, join marks, the dots of glued strips."""
