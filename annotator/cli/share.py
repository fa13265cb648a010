"""`annotator share`: a folder to pass on, with a page that plays the recording by its chapters."""

from pathlib import Path

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, progress, say, verb, warn
from annotator.errors import told


@verb("share", "annotator share model-eye.case.jsonld --out talk")
@click.argument("case", type=EXISTING)
@click.option("--out", required=True, type=EXISTING, metavar="FOLDER", help="A new folder, or one made by this before.")
@click.option("--mp4", "form", flag_value="mp4", help="Encode the recording anew as H.264 and AAC.")
@click.option("--webm", "form", flag_value="webm", help="Encode it anew as VP9 and Opus, for browsers without H.264.")
@click.option("--nested", is_flag=True, help="Phases contain steps, steps contain techniques; not in the container.")
@click.option("--language", default="en", show_default=True, help="Of the names, where the vocabulary has it.")
@click.option("--facet", default="step", show_default=True, help="What the chapters and durations are of.")
def command(case: Path, out: Path, form: str | None, nested: bool, language: str, facet: str) -> None:
    """Write a folder that any browser opens from disk: player, chapters, timeline, durations, places.

    What the recording's file says of itself is left out of the copy. Nothing looks for a patient's
    identity in picture or sound: watch all of it before you pass it on.
    """
    from annotator.publish.share.share_folder import write_folder

    with opened(case) as session, progress("writing") as report:
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
    warn(*told(notes))
    say(f"wrote {out}; open index.html in it. Nothing has looked for a patient's identity in picture or sound")
