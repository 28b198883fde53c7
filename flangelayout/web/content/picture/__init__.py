"""The flange as it is drawn on the page, and the pages of its files."""
