"""What is wrong or doubtful about a plate before it is cut."""
