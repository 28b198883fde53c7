"""Pages for measuring by photo."""
