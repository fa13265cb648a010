"""Start a case from recordings."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from msgspec.structs import replace

from annotator.errors import InvalidEdit
from annotator.media.probe import probe
from annotator.model.case import Case
from annotator.model.edits import new_id
from annotator.model.recording import Altered, Recording
from annotator.model.roles import Roles
from annotator.model.vocabulary import Vocabulary
from annotator.progress import Progress, Scaled, silent
from annotator.store.recordings import path_to_keep
from annotator.store.roles import find_roles
from annotator.workflow.known_frames import known


def new_case(
    videos: Sequence[Path],
    vocabulary: Vocabulary,
    title: str,
    case_path: Path,
    progress: Progress = silent,
    kept_in: Path | None = None,
    roles: Roles | None = None,
) -> Case:
    """A case without tags over the recordings in the order given. The recordings are only read.

    `case_path` is where the case will be kept: paths of recordings are written relative to it. Frame indexes are
    kept in the folder `kept_in`, or the usual one. Without `roles` it gets the department's, or the built-in ones.
    Raises MediaError for a file that is no recording, InvalidEdit for the same recording twice.
    """
    roles = roles or find_roles()
    recordings: list[Recording] = []
    for done, video in enumerate(videos):
        recordings.append(read_recording(video, case_path, kept_in, Scaled(progress, done, done + 1, len(videos))))
    progress(len(videos), len(videos))
    _refuse_doubles(videos, recordings)
    return Case(new_id(), title, vocabulary, tuple(recordings), roles=roles)


def marked(case: Case, altered: Iterable[Altered]) -> Case:
    """The case with each recording marked as altered in these ways too."""
    ways = set(altered)
    recordings = (replace(one, altered=tuple(sorted(ways | set(one.altered)))) for one in case.recordings)
    return replace(case, recordings=tuple(recordings))


def read_recording(video: Path, case_path: Path, kept_in: Path | None = None, progress: Progress = silent) -> Recording:
    """A recording as a case at `case_path` has it. Raises MediaError for a file that is none, StoreError."""
    content, frames = known(video, kept_in, progress)
    facts = probe(video, frames)
    return Recording(
        id=new_id(),
        path=path_to_keep(video, case_path),
        fingerprint=content,
        duration=facts.duration,
        frame_rate=facts.frame_rate,
        width=facts.width,
        height=facts.height,
        altered=facts.altered,
    )


def _refuse_doubles(videos: Sequence[Path], recordings: Sequence[Recording]) -> None:
    seen: dict[str, Path] = {}
    for video, recording in zip(videos, recordings, strict=True):
        if recording.fingerprint in seen:
            raise InvalidEdit(
                f"{video} is the same recording as {seen[recording.fingerprint]}; give each recording once"
            )
        seen[recording.fingerprint] = video
