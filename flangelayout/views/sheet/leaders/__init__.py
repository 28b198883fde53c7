"""Leaders to holes: what they run over, where their words may stand, how several stand one above the other."""
