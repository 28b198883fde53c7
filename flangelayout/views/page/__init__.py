"""Everything that is placed on a page; nothing is said here."""
