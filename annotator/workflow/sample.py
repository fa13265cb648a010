"""The bundled samples as cases: invented operations on a model eye, with their true step times as tags."""

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from msgspec.structs import replace

from annotator.bundled import bundled
from annotator.durable import NO_ROOM_FOR_TEMPORARY, why
from annotator.errors import StoreError
from annotator.model.case import Case, Eye
from annotator.model.recording import View
from annotator.store.roles import find_roles
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.add_tags import add_tags
from annotator.workflow.new_case import new_case


class Sample(NamedTuple):
    """An invented operation that travels with the program; `folder` is below that of all samples."""

    folder: str
    recording: str
    title: str
    kind: str
    eye: Eye
    picture: View
    steps: str = "steps.csv"

    @property
    def home(self) -> Path:
        """Where its files are."""
        return bundled("sample_media") / self.folder


MEMBRANES = Sample("", "model-eye.mp4", "Model eye (invented)", "diabetic", Eye.LEFT, View.UPRIGHT)
HOLE = Sample(
    "macular-hole", "macular-hole.mp4", "Model eye with a macular hole (invented)", "macular", Eye.RIGHT, View.TURNED
)


def is_untouched_sample(path: Path) -> bool:
    """Whether a case file holds the first sample as `create_sample` makes it, unchanged since, and nobody has it open.

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


def create_sample(path: Path, sample: Sample = MEMBRANES, *, overwrite: bool = False) -> Session:
    """A session on a fresh case of a sample at `path`, tagged and saved; its folder is made where it is missing.

    Raises StoreError where the case can't be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"the folder {path.parent} can't be made: {why(error)}") from error
    case = new_case(
        [sample.home / sample.recording], find("vitreoretinal"), sample.title, path, roles=find_roles(own=False)
    )
    recordings = tuple(replace(one, picture=sample.picture) for one in case.recordings)
    case = replace(case, recordings=recordings, eye=sample.eye, kind=sample.kind)
    session = Session.create(path, case, overwrite=overwrite)
    try:
        add_tags(session, sample.home / sample.steps)
        session.save()
    except BaseException:
        session.close()
        raise
    return session
