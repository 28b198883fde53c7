"""What the machine cuts."""
