"""Opening a case or recordings: the long part, run beside the window."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from platformdirs import user_data_path

from annotator.desktop.work import Job
from annotator.errors import MediaError, StoreError
from annotator.media.probe import probe
from annotator.model.case import UNTITLED, Case
from annotator.progress import Progress
from annotator.store.recordings import Located, State
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.find_recordings import find_recordings
from annotator.workflow.frames import CaseFrames
from annotator.workflow.new_case import new_case
from annotator.workflow.sample import create_sample
from annotator.workflow.take_recordings import found_again

CASE_ENDING = ".case.jsonld"
RECORDING_FILES = (
    "Recordings (*.mp4 *.mov *.m4v *.mkv *.webm *.avi *.ts *.mts *.m2ts *.mpg *.mpeg *.vob);;All files (*)"
)


class Opened(NamedTuple):
    """A session with its recordings, as they were found.

    shapes         width to height of each picture, 0 where unknown
    notes          sentences that the user should see
    why_read_only  why the case can't be changed, where that is not because somebody else has it
    is_new         whether the session was opened with it, not only its recordings looked at anew
    """

    session: Session
    located: tuple[Located, ...]
    frames: CaseFrames
    shapes: tuple[float, ...]
    has_sound: bool
    notes: tuple[str, ...] = ()
    why_read_only: str = ""
    is_new: bool = True

    def in_state(self, state: State) -> list[int]:
        """The numbers, from 0, of the recordings that were found like this."""
        return [one.recording for one in self.located if one.state == state]


def open_case(path: Path, kept_in: Path | None = None) -> Job:
    """Work that opens a case file. Here and below, frame indexes are kept in `kept_in`, or in the usual folder."""

    def job(progress: Progress) -> Opened:
        return _opened(path, kept_in, progress)

    return job


def open_recordings(paths: Sequence[Path], vocabulary: str, kept_in: Path | None = None) -> Job:
    """Work that starts a case beside the first recording, or opens the one that was started there before."""

    def job(progress: Progress) -> Opened:
        case_path = beside(paths[0])
        if case_path.exists():
            return _told_of_others(_opened(case_path, kept_in, progress), paths)
        case = new_case(paths, find(vocabulary), UNTITLED, case_path, progress, kept_in)
        return _closed_on_failure(Session.create(case_path, case), kept_in, progress)

    return job


def open_sample(folder: Path | None = None, kept_in: Path | None = None) -> Job:
    """Work that opens the sample with its steps tagged; what was done to it before is kept."""

    def job(progress: Progress) -> Opened:
        path = sample_case(folder)
        if not path.exists():
            create_sample(path).close()
        return _opened(path, kept_in, progress)

    return job


def sample_case(folder: Path | None = None) -> Path:
    """Where the sample is kept, in a folder that is chosen or the program's own."""
    kept = folder or user_data_path("surgical-step-annotator", appauthor=False) / "sample"
    return kept / f"model-eye{CASE_ENDING}"


def look_again(session: Session, note: str, kept_in: Path | None = None) -> Job:
    """Work that looks for the recordings of an open session anew; `note` is what the user should see then."""

    def job(progress: Progress) -> Opened:
        return read(session, kept_in, progress)._replace(is_new=False, notes=(note,) if note else ())

    return job


def read(session: Session, kept_in: Path | None, progress: Progress) -> Opened:
    """The session's recordings, located and indexed; one that can't be read is said, and the case still opens."""
    case = session.case
    found = find_recordings(case, session.path, progress=progress, kept_in=kept_in)
    shapes, sound = _facts(case, found.located, found.frames)
    return Opened(session, found.located, found.frames, shapes, sound, found.unreadable)


def beside(recording: Path) -> Path:
    """Where a recording's case is kept."""
    return recording.with_name(f"{recording.stem}{CASE_ENDING}")


def _told_of_others(opened: Opened, chosen: Sequence[Path]) -> Opened:
    """With a note where the case that was started before holds another number of recordings than are chosen now."""
    held = len(opened.session.case.recordings)
    if held == len(chosen):
        return opened
    holds = f"{held} recording{'s' * (held != 1)}, not {len(chosen)}"
    note = (
        f"The case beside {chosen[0].name} was opened: it holds {holds}. For a new one move that case elsewhere first."
    )
    return opened._replace(notes=(*opened.notes, note))


def _opened(path: Path, kept_in: Path | None, progress: Progress) -> Opened:
    """The case for changing, or for reading where somebody else has it or it can't be changed here."""
    try:
        session, why = Session.open(path), ""
    except StoreError as error:
        # Held by somebody else, or in a folder that can't be written to: no reason not to look.
        # A file that can't be read at all says so again.
        session, why = Session.open(path, writable=False), str(error)
    opened = _closed_on_failure(session, kept_in, progress)
    return opened._replace(why_read_only="" if session.holder else why)


def _closed_on_failure(session: Session, kept_in: Path | None, progress: Progress) -> Opened:
    try:
        return _with_places_kept(read(session, kept_in, progress))
    except BaseException:
        session.close()
        raise


def _with_places_kept(opened: Opened) -> Opened:
    """The new places of moved recordings are written into the case, so that they need not be looked for again."""
    session = opened.session
    if session.read_only or all(one.state != "moved" for one in opened.located):
        return opened
    try:
        session.do(found_again(opened.located, session.path))
        session.save()
    except StoreError as error:
        return opened._replace(notes=(*opened.notes, str(error)))
    return opened


def _facts(case: Case, located: Sequence[Located], frames: CaseFrames) -> tuple[tuple[float, ...], bool]:
    shapes, sound = [0.0] * len(case.recordings), False
    for one in located:
        index = frames.index(one.recording)
        if one.path is None or index is None:
            continue
        try:
            facts = probe(one.path, index)
        except MediaError:
            continue
        shapes[one.recording] = float(facts.display_aspect)
        sound = sound or facts.audio_codec is not None
    return tuple(shapes), sound
