"""Words about a joint: what is turned on the faces, what lies on them, what it is bolted up with."""
