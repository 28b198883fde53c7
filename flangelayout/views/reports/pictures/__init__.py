"""Pictures of plates with numbers on them, for reports."""
