"""What stands on the page for one state."""
