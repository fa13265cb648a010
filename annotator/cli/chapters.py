"""`annotator chapters`: write a WebVTT chapter file."""

from pathlib import Path

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, emit, replacing, verb, warn
from annotator.errors import told


@verb("chapters", "annotator chapters model-eye.case.jsonld --out chapters.vtt --nested")
@click.argument("case", type=EXISTING)
@click.option("--out", required=True, type=EXISTING, metavar="FILE.vtt", help="The chapter file to write.")
@click.option("--facet", default="step", show_default=True, help="Category of the chapters: step, phase …")
@click.option("--nested", is_flag=True, help="Nest them: phases contain steps, steps contain techniques.")
@click.option("--fill", is_flag=True, help="Close gaps: each chapter lasts until the next one starts.")
@click.option("--language", default="en", show_default=True, help="Language of the titles, if the vocabulary has it.")
@replacing("a .vtt file that this program did not write")
def command(case: Path, out: Path, facet: str, nested: bool, fill: bool, language: str, replace: bool) -> None:
    """Write chapters as WebVTT. Tags that can't become chapters are listed; nothing is trimmed silently."""
    from annotator.publish.chapter_file import chapter_file
    from annotator.publish.kinds import CHAPTERS
    from annotator.store.published import remember
    from annotator.store.ways_out import WayOut

    with opened(case) as session:
        text, notes = chapter_file(session.case, facet, language, nested, fill)
        way = WayOut(out, CHAPTERS, session.path, replace)
    warn(*told(notes))
    emit(text, way)
    warn(*remember(session.case, session.path, [out]))
