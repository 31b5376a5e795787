"""The first example of a random test reads the tables, and the same examples are tried each time."""

from hypothesis import settings

settings.register_profile("measure", deadline=None, derandomize=True)
settings.load_profile("measure")
