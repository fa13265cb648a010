"""Review copies kept from one time to the next, in a folder that may be deleted whenever one likes.

A copy gets its name only when it is whole, and is looked at again each time: one that is damaged, or of other
frames, is as good as none. The folder is kept within a size: what was not used for the longest goes first.
"""

from pathlib import Path
from typing import Final

from annotator.errors import MediaError
from annotator.media.cache.cache_files import make_room, mark_used, place
from annotator.media.index.frame_index import FrameIndex
from annotator.media.write.review_copy import ReviewCopy, review_copy_at, write_review_copy
from annotator.parts import whole_file
from annotator.plain_text import plain
from annotator.progress import Progress, silent

MOST_BYTES: Final = 20 * 2**30
"""Of everything kept: some forty hours of recordings. Thumbnails and sound take next to nothing of it."""

_ENDING: Final = ".mp4"


class ReviewCache:
    """The folder below which copies are kept, and the bytes that everything kept below it may take."""

    def __init__(self, folder: Path, most_bytes: int = MOST_BYTES) -> None:
        self._whole = folder
        self._folder = folder / "review"
        self._most_bytes = most_bytes

    def kept(self, fingerprint: str, index: FrameIndex) -> ReviewCopy | None:
        """The copy of the recording with this content and these frames, or None where none is kept whole."""
        path = place(self._folder, fingerprint, _ENDING)
        copy = review_copy_at(path, index) if path.is_file() else None
        if copy is not None:
            mark_used(path)
        return copy

    def make(self, path: Path, fingerprint: str, index: FrameIndex, progress: Progress = silent) -> ReviewCopy:
        """Make the copy and keep it; MediaError where that can't be. Nothing half-written stays."""
        kept = place(self._folder, fingerprint, _ENDING)
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            with whole_file(kept) as part:
                copy = write_review_copy(path, index, part, progress)
        except OSError as error:
            raise MediaError(
                f"The review copy of “{plain(path.name)}” can't be stored: {plain(error.strerror or str(error))}"
            ) from error
        make_room(self._whole, self._most_bytes)
        if not kept.exists():
            raise MediaError(f"The review copy of “{plain(path.name)}” is larger than the cache")
        return copy._replace(path=kept)
