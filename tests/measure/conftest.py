"""Property tests may take as long as they need: a slow machine is not a fault."""

from hypothesis import settings

settings.register_profile("patient", deadline=None)
settings.load_profile("patient")
