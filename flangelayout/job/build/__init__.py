"""From written keys to the flange and its settings."""
