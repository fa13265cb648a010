"""The whole job on the bundled sample: an invented operation on a model eye."""

from pathlib import Path

from annotator.bundled import bundled
from annotator.errors import StoreError
from annotator.progress import Progress, silent
from annotator.publish.chapter_file import chapter_file
from annotator.publish.recording_with_chapters import embed
from annotator.publish.summary import summary_text
from annotator.store.atomic import write_atomically
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.add_tags import add_tags
from annotator.workflow.new_case import new_case

RECORDING = "model-eye.mp4"
STEPS = "steps.csv"
TITLE = "Model eye (invented)"


def run_demo(out: Path, progress: Progress = silent) -> str:
    """Write every product of the main job to the folder `out`; returns the summary as a table."""
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"the folder {out} can't be made: {error.strerror}; choose another with --out") from error
    sample = bundled("sample_media")
    path = out / "case.jsonld"
    case = new_case([sample / RECORDING], find("vitreoretinal"), TITLE, path)
    with Session.create(path, case, overwrite=True) as session:
        add_tags(session, sample / STEPS)
        session.save()
        case = session.case
    write_atomically(out / "chapters.vtt", chapter_file(case)[0].encode())
    write_atomically(out / "chapters-nested.vtt", chapter_file(case, nested=True)[0].encode())
    embed(case, path, out / "recording-with-chapters.mp4", progress=progress)
    for form in ("csv", "xlsx", "html"):
        text, _ = summary_text(case, form)
        write_atomically(out / f"durations.{form}", text.encode() if isinstance(text, str) else text)
    return str(summary_text(case, "table")[0])
