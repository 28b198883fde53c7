"""What is said to the man at the bench: how to lay out, in what order to drill, what to measure."""
