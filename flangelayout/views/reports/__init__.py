"""Pages that flow."""
