"""`annotator share`: a web page with the video, in a folder to pass on."""

from pathlib import Path

import click

from annotator.cli.opened import opened_for_recordings
from annotator.cli.verb import EXISTING, progress, say, verb, warn
from annotator.errors import told


@verb("share", "annotator share model-eye.case.jsonld --out talk")
@click.argument("case", type=EXISTING)
@click.option(
    "--out", required=True, type=EXISTING, metavar="FOLDER", help="A new folder, or one that this command made."
)
@click.option("--mp4", "form", flag_value="mp4", help="Re-encode the recording as H.264 and AAC.")
@click.option("--webm", "form", flag_value="webm", help="Re-encode it as VP9 and Opus, for browsers without H.264.")
@click.option(
    "--nested", is_flag=True, help="Phases contain steps, steps contain techniques; not inside the video file."
)
@click.option("--language", default="en", show_default=True, help="Language of the names, where the vocabulary has it.")
@click.option("--facet", default="step", show_default=True, help="Category that chapters and durations are made of.")
def command(case: Path, out: Path, form: str | None, nested: bool, language: str, facet: str) -> None:
    """Write a web page with the video: a folder that any browser opens from disk, without a network.

    It holds player, chapters, timeline, durations and places. What the recording's file says about itself is left
    out of the copy. Not checked for patient identifiers: watch and listen to all of it before you pass it on.
    """
    from annotator.publish.share.share_folder import write_folder
    from annotator.store.published import remember
    from annotator.workflow.before_export import consent_of

    with opened_for_recordings(case) as session, progress("writing") as report:
        warn(*consent_of(session.case))
        notes = write_folder(
            session.case,
            session.path,
            out,
            form="mp4" if form == "mp4" else "webm" if form == "webm" else "copy",
            facet=facet,
            nested=nested,
            language=language,
            progress=report,
        )
        notes += remember(session.case, session.path, [out])
    warn(*told(notes))
    say(f"wrote {out}; open index.html in it. Not checked for patient identifiers")
