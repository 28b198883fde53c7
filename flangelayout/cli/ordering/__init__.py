"""Commands about what is ordered."""
