"""Whether the parts of a joint go together: what is turned, what bears where, the mates on both faces."""
