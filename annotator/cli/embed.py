"""`annotator embed`: write the recording again with the chapters in its container."""

from pathlib import Path

import click

from annotator.cli.opened import opened_for_recordings
from annotator.cli.verb import EXISTING, progress, replacing, say, verb, warn
from annotator.errors import told


@verb("embed", "annotator embed model-eye.case.jsonld --out talk.mp4")
@click.argument("case", type=EXISTING)
@click.option("--out", required=True, type=EXISTING, metavar="VIDEO", help="A new .mp4, .mov, .mkv or .webm file.")
@click.option("--facet", default="step", show_default=True, help="Category of the chapters: step, phase …")
@click.option("--language", default="en", show_default=True, help="Language of the titles, if the vocabulary has it.")
@click.option("--keep-tags", is_flag=True, help="Keep the file's metadata, captions and cover pictures.")
@replacing("a recording of the same name")
def command(case: Path, out: Path, facet: str, language: str, keep_tags: bool, replace: bool) -> None:
    """Write a copy of the recording with chapters inside. Picture and sound are copied unchanged.

    Several recordings are joined if their streams allow it. Metadata (title, names, place, dates, device), captions,
    attachments and cover pictures are left out, and listed. Picture and sound are not checked for patient
    identifiers: watch all of it before you share it.
    """
    from annotator.publish.video.recording_with_chapters import embed
    from annotator.store.published import remember
    from annotator.workflow.before_export import consent_of

    with opened_for_recordings(case) as session, progress("writing") as report:
        warn(*consent_of(session.case))
        notes = embed(session.case, session.path, out, facet, language, report, keep_tags=keep_tags, replace=replace)
        notes += remember(session.case, session.path, [out])
    warn(*told(notes))
    say(f"wrote {out}")
