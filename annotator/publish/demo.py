"""The whole job on the bundled sample: an invented operation on a model eye."""

from pathlib import Path

from annotator.progress import Progress, silent
from annotator.publish.chapter_file import chapter_file
from annotator.publish.recording_with_chapters import embed
from annotator.publish.summary import summary_text
from annotator.store.atomic import write_atomically
from annotator.workflow.sample import create_sample


def run_demo(out: Path, progress: Progress = silent) -> str:
    """Write every product of the main job to the folder `out`; returns the summary as a table."""
    path = out / "case.jsonld"
    with create_sample(path, overwrite=True) as session:
        case = session.case
    write_atomically(out / "chapters.vtt", chapter_file(case)[0].encode())
    write_atomically(out / "chapters-nested.vtt", chapter_file(case, nested=True)[0].encode())
    embed(case, path, out / "recording-with-chapters.mp4", progress=progress)
    for form in ("csv", "xlsx", "html"):
        text, _ = summary_text(case, form)
        write_atomically(out / f"durations.{form}", text.encode() if isinstance(text, str) else text)
    return str(summary_text(case, "table")[0])
