"""A copy of the recording, its streams untouched, with the chapters in the container."""

from pathlib import Path

from annotator.formats import ffmetadata
from annotator.measure.chapters import plan
from annotator.media.remux import with_chapters
from annotator.model.case import Case
from annotator.progress import Progress, share_of, silent
from annotator.publish.sources import READ, tagged_recordings


def embed(
    case: Case,
    case_path: Path,
    out: Path,
    facet: str = "step",
    language: str = "en",
    progress: Progress = silent,
    *,
    bare: bool = False,
    kept_in: Path | None = None,
) -> tuple[str, ...]:
    """Write `out`, with `bare` without what the recordings say of themselves.

    Returns a sentence for each tag or track that could not be written as it stands.

    The recordings' frames are kept in the folder `kept_in`, or the usual one. Raises MediaError where a recording is
    missing or has changed, or the recordings can't be joined.
    """
    sources = tagged_recordings(case, case_path, kept_in, share_of(progress, 0, READ))
    planned = plan(case, facet=facet, language=language)
    durations = [recording.duration for recording in case.recordings]
    left_out = with_chapters(
        sources, ffmetadata.dumps(planned.chapters), out, durations, share_of(progress, READ, 1), bare=bare
    )
    return (*planned.notes, *left_out)
