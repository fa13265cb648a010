"""A copy of the recording, its streams untouched, with the chapters in the container."""

from pathlib import Path

from annotator.formats.captions import ffmetadata
from annotator.measure.chapters import plan
from annotator.media.container.target import muxer_for
from annotator.media.write.remux import with_chapters
from annotator.model.case import Case
from annotator.progress import Progress, Scaled, silent
from annotator.publish.video.kind_of_recording import RECORDING
from annotator.publish.video.sources import READ, tagged_recordings
from annotator.store.ways_out import WayOut


def embed(
    case: Case,
    case_path: Path,
    out: Path,
    facet: str = "step",
    language: str = "en",
    progress: Progress = silent,
    *,
    keep_tags: bool = False,
    replace: bool = False,
    kept_in: Path | None = None,
) -> tuple[str, ...]:
    """Write `out`: picture and sound, with `keep_tags` also what the recordings say of themselves.

    A recording that is there already gives way only to `replace`, and never one that a case refers to. Returns a
    sentence for each tag or track that could not be written as it stands, and on what was left out.

    The recordings' frames are kept in the folder `kept_in`, or the usual one. Raises MediaError where a recording is
    missing or has changed, or the recordings can't be joined, StoreError where something stands in the way.
    """
    muxer_for(out)
    way = WayOut(out, RECORDING, case_path, replace)
    way.check()
    sources = tagged_recordings(case, case_path, kept_in, Scaled(progress, 0, READ))
    way = way._replace(sources=tuple(source.path for source in sources))
    way.check()
    planned = plan(case, facet=facet, language=language)
    durations = [recording.duration for recording in case.recordings]
    said = with_chapters(
        sources,
        ffmetadata.dumps(planned.chapters),
        out,
        durations,
        Scaled(progress, READ, 1),
        keep_tags=keep_tags,
        settling=way.check,
    )
    return (*planned.notes, *said)
