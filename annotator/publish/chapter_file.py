"""A case's chapters as the text of a WebVTT file."""

from annotator.formats.captions import webvtt
from annotator.measure.chapters import plan
from annotator.model.case import Case


def chapter_file(
    case: Case, facet: str = "step", language: str = "en", nested: bool = False, fill: bool = False
) -> tuple[str, tuple[str, ...]]:
    """The file's text, and a sentence for each tag that could not be written as it stands."""
    planned = plan(case, facet=facet, language=language, nested=nested, fill=fill)
    return webvtt.dumps_chapters(planned.chapters), planned.notes
