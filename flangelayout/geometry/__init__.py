"""Pure plane geometry: points, lines, arcs, circles and contours. No flange words, no files."""
