"""`annotator clips`: a short video of each tag, or a still."""

from pathlib import Path
from typing import Literal

import click

from annotator.cli.opened import opened_for_recordings
from annotator.cli.verb import EXISTING, progress, replacing, say, verb, warn
from annotator.errors import told
from annotator.plain_text import quoted


@verb("clips", "annotator clips model-eye.case.jsonld --out clips --step core")
@click.argument("case", type=EXISTING)
@click.option(
    "--out", required=True, type=EXISTING, metavar="FOLDER", help="The folder to write to; made if it does not exist."
)
@click.option("--facet", default="step", show_default=True, help="Every tag of this category.")
@click.option("--step", help="Only the tags of this step or other term; its notation or name.")
@click.option(
    "--mp4", "form", flag_value="mp4", default=True, help="Frame-accurate, re-encoded as H.264 and AAC (the default)."
)
@click.option(
    "--copy",
    "form",
    flag_value="copy",
    help="Fast copy: nothing is re-encoded; a clip begins at the key frame before its tag.",
)
@click.option("--webm", "form", flag_value="webm", help="Frame-accurate, re-encoded as VP9 and Opus.")
@click.option("--stills", "form", flag_value="png", help="Write the first frame of each tag as PNG instead.")
@click.option("--jpeg", "form", flag_value="jpg", help="Write the first frame of each tag as JPEG instead.")
@replacing("clips of the same names")
def command(
    case: Path,
    out: Path,
    facet: str,
    step: str | None,
    form: Literal["mp4", "webm", "copy", "png", "jpg"],
    replace: bool,
) -> None:
    """Write a clip of each tag, or a still; the recording is only read.

    Files are named by time and notation. Not checked for patient identifiers.
    """
    from annotator.publish.atomic_folder import folder_for
    from annotator.publish.video.clips import write_clips
    from annotator.publish.video.stills import write_stills
    from annotator.publish.video.tag_selection import tags_of
    from annotator.store.published import remember
    from annotator.workflow.before_export import consent_of

    with opened_for_recordings(case) as session, progress("writing") as report:
        warn(*consent_of(session.case))
        tags = tags_of(session.case, facet, step)
        with folder_for(out):
            if form == "png" or form == "jpg":
                written, notes = write_stills(session.case, session.path, tags, out, form, report)
            else:
                written, notes = write_clips(session.case, session.path, tags, out, form, report, replace=replace)
        notes = (*notes, *remember(session.case, session.path, written))
    warn(*told(notes))
    if not tags:
        warn(f"nothing was written: {case} has no tag of {quoted(step or facet)}")
    elif not written:
        warn("nothing was written: a moment has no length and gets no clip; --stills writes its frame")
    say(*(f"wrote {path}" for path in written))
