"""Opening a case or recordings: the long part, run beside the window."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from platformdirs import user_data_path

from annotator.desktop.work import Job
from annotator.errors import MediaError, StoreError
from annotator.media.probe import probe
from annotator.model.case import Case
from annotator.progress import Progress
from annotator.store.recordings import Located, locate
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.find_recordings import find_recordings
from annotator.workflow.frames import CaseFrames
from annotator.workflow.new_case import new_case
from annotator.workflow.sample import create_sample

CASE_ENDING = ".case.jsonld"
UNTITLED = "Untitled case"
"""What a new case is called: the name of a recording often holds the patient's, and a title is published."""


class Opened(NamedTuple):
    """A session with its recordings' frames, the shape of each picture (width to height, 0 unknown), and notes."""

    session: Session
    located: tuple[Located, ...]
    frames: CaseFrames
    shapes: tuple[float, ...]
    has_sound: bool
    notes: tuple[str, ...]


def open_case(path: Path) -> Job:
    """Work that opens a case file."""

    def job(progress: Progress) -> Opened:
        return _with_frames(open_session(path), progress)

    return job


def open_recordings(paths: Sequence[Path], vocabulary: str) -> Job:
    """Work that starts a case beside the first recording, or opens the one that was started there before."""

    def job(progress: Progress) -> Opened:
        case_path = beside(paths[0])
        if case_path.exists():
            return _told_of_others(_with_frames(open_session(case_path), progress), paths)
        case = new_case(paths, find(vocabulary), UNTITLED, case_path)
        return _with_frames(Session.create(case_path, case), progress)

    return job


def open_sample(folder: Path | None = None) -> Job:
    """Work that opens the sample with its steps tagged; what was done to it before is kept."""

    def job(progress: Progress) -> Opened:
        kept = folder or user_data_path("surgical-step-annotator", appauthor=False) / "sample"
        path = kept / f"model-eye{CASE_ENDING}"
        if path.exists():
            return _with_frames(open_session(path), progress)
        create_sample(path).close()
        return _with_frames(open_session(path), progress)

    return job


def open_session(path: Path) -> Session:
    """The case for changing, or for reading where somebody else has it or it can't be changed here."""
    try:
        return Session.open(path)
    except StoreError:
        # Held by somebody else, or in a folder that can't be written to: no reason not to look.
        # A file that can't be read at all says so again.
        return Session.open(path, writable=False)


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


def _with_frames(session: Session, progress: Progress) -> Opened:
    """The session's recordings, located and indexed; one that can't be read is said, and the case still opens."""
    try:
        return _read(session, progress)
    except BaseException:
        session.close()
        raise


def _read(session: Session, progress: Progress) -> Opened:
    case = session.case
    try:
        found = find_recordings(case, session.path, progress=progress)
        located, frames, notes = found.located, found.frames, list(found.warnings)
    except MediaError as error:
        located, frames, notes = tuple(locate(case, session.path)), CaseFrames(case, {}), [str(error)]
    shapes, sound = _facts(case, located, frames)
    return Opened(session, located, frames, shapes, sound, tuple(notes))


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
