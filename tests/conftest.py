"""For all tests: Qt draws without a screen, and no test depends on how fast the machine is."""

import os

from hypothesis import settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
settings.register_profile("any machine", deadline=None)
settings.load_profile("any machine")
