"""Where the rooms meet: a job in, files out."""
