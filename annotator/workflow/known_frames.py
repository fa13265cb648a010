"""A recording's content and frames, the frames from the cache where this content was read before."""

from pathlib import Path
from typing import NamedTuple

from annotator.media.cache.index_cache import cached_index
from annotator.media.container.opening import demuxer_of
from annotator.media.index.frame_index import FrameIndex
from annotator.progress import Progress, silent
from annotator.store.fingerprint import fingerprint
from annotator.workflow.own_folders import cache_folder


class Known(NamedTuple):
    """By what the recording's content is known again, and its frames."""

    fingerprint: str
    frames: FrameIndex


def known(path: Path, kept_in: Path | None = None, progress: Progress = silent) -> Known:
    """What is known of the recording at `path`, from the folder `kept_in` or the usual one; else read, and kept there.

    `progress` counts bytes of the file while it is read. Raises MediaError for what is no recording, StoreError.
    """
    demuxer_of(path)  # of what is no recording this knows best what it is, so it is asked first
    content = fingerprint(path)
    return Known(content, cached_index(path, content, kept_in or cache_folder(), progress))
