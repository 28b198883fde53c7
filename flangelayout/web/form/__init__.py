"""The job as fields, and the page's address."""
