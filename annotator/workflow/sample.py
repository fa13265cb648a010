"""The bundled sample as a case: an invented operation on a model eye, with its true step times as tags."""

from pathlib import Path
from tempfile import TemporaryDirectory

from msgspec.structs import replace

from annotator.bundled import bundled
from annotator.durable import NO_ROOM_FOR_TEMPORARY, why
from annotator.errors import StoreError
from annotator.model.case import Case, Eye
from annotator.store.roles import find_roles
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.add_tags import add_tags
from annotator.workflow.new_case import new_case

RECORDING = "model-eye.mp4"
STEPS = "steps.csv"
TITLE = "Model eye (invented)"
KIND = "diabetic"


def is_untouched_sample(path: Path) -> bool:
    """Whether a case file holds the sample as `create_sample` makes it, nothing changed since, and nobody has it open.

    Raises StoreError where there is none, InvalidFile for what is no sound case.
    """
    with Session.open(path, writable=False) as session:
        found, holder = session.case, session.holder
    try:
        temporary = TemporaryDirectory(prefix="annotator-")
    except OSError as error:
        raise StoreError(NO_ROOM_FOR_TEMPORARY) from error
    with temporary as folder, create_sample(Path(folder, path.name)) as fresh:
        made = fresh.case
    return holder is None and _without_accidents(found) == _without_accidents(made)


def _without_accidents(case: Case) -> Case:
    """Ids, the order of like ranges, times of tagging and the way to the recording differ from making to making."""
    recordings = tuple(replace(one, id="", path="") for one in case.recordings)
    tags = tuple(replace(tag, id="", created="", modified="") for tag in case.tags)
    in_one_order = tuple(sorted(tags, key=lambda tag: (tag.start, tag.end or tag.start, tag.concept)))
    return replace(case, id="", recordings=recordings, tags=in_one_order)


def create_sample(path: Path, *, overwrite: bool = False) -> Session:
    """A session on a fresh case of the sample at `path`, tagged and saved; its folder is made where it is missing.

    Raises StoreError where the case can't be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"the folder {path.parent} can't be made: {why(error)}") from error
    sample = bundled("sample_media")
    case = new_case([sample / RECORDING], find("vitreoretinal"), TITLE, path, roles=find_roles(own=False))
    session = Session.create(path, replace(case, eye=Eye.LEFT, kind=KIND), overwrite=overwrite)
    try:
        add_tags(session, sample / STEPS)
        session.save()
    except BaseException:
        session.close()
        raise
    return session
