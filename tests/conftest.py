"""Settings of every test: examples take the time they take, and are the same in every run."""

from hypothesis import settings

settings.register_profile("project", max_examples=40, deadline=None, derandomize=True)
settings.load_profile("project")
