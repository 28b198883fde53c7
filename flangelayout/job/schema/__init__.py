"""The keys of the files people write, and what each may hold."""
