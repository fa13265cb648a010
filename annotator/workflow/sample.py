"""The bundled sample as a case: an invented operation on a model eye, with its true step times as tags."""

from pathlib import Path

from msgspec.structs import replace

from annotator.bundled import bundled
from annotator.errors import StoreError
from annotator.model.case import Eye
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.add_tags import add_tags
from annotator.workflow.new_case import new_case

RECORDING = "model-eye.mp4"
STEPS = "steps.csv"
TITLE = "Model eye (invented)"


def create_sample(path: Path, *, overwrite: bool = False) -> Session:
    """A session on a fresh case of the sample at `path`, tagged and saved; its folder is made where it is missing.

    Raises StoreError where the case can't be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"the folder {path.parent} can't be made: {error.strerror}; choose another") from error
    sample = bundled("sample_media")
    case = new_case([sample / RECORDING], find("vitreoretinal"), TITLE, path)
    session = Session.create(path, replace(case, eye=Eye.LEFT), overwrite=overwrite)
    try:
        add_tags(session, sample / STEPS)
        session.save()
    except BaseException:
        session.close()
        raise
    return session
