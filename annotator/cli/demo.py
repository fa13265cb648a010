"""`annotator demo`: the whole job on the bundled sample."""

from pathlib import Path

import click

from annotator.cli.verb import EXISTING, emit, progress, say, verb, warn


@verb("demo", "annotator demo --out demo-output")
@click.option(
    "--out", default="demo-output", show_default=True, type=EXISTING, metavar="DIR", help="Folder to write to."
)
def command(out: Path) -> None:
    """Run the whole job on the bundled sample, an invented operation on a model eye: a case with tags,
    chapters flat and nested, the recording with chapters inside, and the summary of durations.
    """
    from annotator.publish.demo import run_demo

    with progress("writing") as report:
        written = run_demo(out, report)
    emit(written.table, None)
    if written.folder != out:
        warn(f"{out} contains files that were added or changed; they stay as they are")
    say(f"wrote everything to {written.folder}; the sample is invented and drawn by computer, with no patient in it")
