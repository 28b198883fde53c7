"""One flange laid on another."""
