"""How much of a stranger's file is let in. Each bound is far above any recording of an operation."""

from typing import Final

MAX_SIDE: Final = 16_384
"""Pixels along one side of a picture."""

MAX_PIXELS: Final = 150_000_000
"""Pixels in one picture: four times 8K."""

MAX_FRAMES: Final = 20_000_000
"""Pictures in one recording: 92 hours at 60 a second."""

MAX_STREAMS: Final = 100
"""Tracks in one file."""

MAX_CHAPTERS: Final = 2_000

MAX_TAGS: Final = 100

OPEN_SECONDS: Final = 30.0
"""For finding out what a file holds; a network drive may be slow, a trap never ends."""

READ_SECONDS: Final = 60.0
"""For one packet to arrive."""
