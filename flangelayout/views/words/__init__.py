"""Everything that is said; nothing is placed here."""
