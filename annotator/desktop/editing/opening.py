"""Opening a case or recordings: the long part, run in the background."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import NamedTuple

from platformdirs import user_data_path

from annotator.desktop.tasks.task import Job
from annotator.errors import MediaError, StoreError
from annotator.media.container.opening import demuxer_of
from annotator.media.probe import probe
from annotator.model.case import UNTITLED, Case
from annotator.model.edits import set_kind
from annotator.model.recording import ENDINGS
from annotator.progress import Progress, Scaled
from annotator.store.fingerprint import fingerprint
from annotator.store.reading import read_case
from annotator.store.recordings import Located, State, path_to_keep
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.add_tags import Offered, offered
from annotator.workflow.cases_of import CaseOf, beside, cases_of, free_beside
from annotator.workflow.find_recordings import find_recordings
from annotator.workflow.frames import CaseFrames
from annotator.workflow.new_case import new_case
from annotator.workflow.recording_files import in_natural_order, recordings_in
from annotator.workflow.sample import MEMBRANES, Sample, create_sample
from annotator.workflow.take_recordings import keep_new_places

RECORDING_FILES = f"Recordings ({' '.join(f'*{ending}' for ending in ENDINGS)});;All files (*)"


class Shape(NamedTuple):
    """Of a recording's pictures as they are shown: width to height, and height in pixels; 0 where unknown."""

    aspect: float = 0.0
    height: int = 0


class Opened(NamedTuple):
    """A session with its recordings, as they were found.

    shapes         of each one's pictures
    notes          sentences that the user should see
    why_read_only  why the case can't be changed, where that is not because somebody else has it
    offered        files beside the recordings that hold tags for it, where it has none yet
    is_new         whether the session was opened with it, not only its recordings looked at anew
    """

    session: Session
    located: tuple[Located, ...]
    frames: CaseFrames
    shapes: tuple[Shape, ...]
    has_sound: bool
    notes: tuple[str, ...] = ()
    why_read_only: str = ""
    offered: tuple[Offered, ...] = ()
    is_new: bool = True

    def in_state(self, state: State) -> list[int]:
        """The numbers, from 0, of the recordings that were found like this."""
        return [one.recording for one in self.located if one.state == state]


class NewCase(NamedTuple):
    """What a case that is started begins with: the name of its vocabulary, and of one of that one's kinds or empty."""

    vocabulary: str
    kind: str = ""


class AlreadyOpen(NamedTuple):
    """What was chosen is the case that the window shows."""

    case: Path


class Existing(NamedTuple):
    """A case that has something of the chosen recordings already: which of the two is wanted must be asked."""

    case: Path
    recordings: tuple[Path, ...]
    says: str


class Several(NamedTuple):
    """Recordings whose order should be seen before a case is made of them."""

    recordings: tuple[Path, ...]


class Started(NamedTuple):
    """Cases of one recording each."""

    cases: tuple[Path, ...]


def open_case(path: Path, kept_in: Path | None = None, shown: Path | None = None, note: str = "") -> Job:
    """Task that opens a case file; `note` is what the user should see then. Here and below, frame indexes are kept in
    `kept_in`, or in the usual folder, and `shown` is the case that the window shows, which is not opened once more.
    """
    return partial(_case, path, kept_in, shown, note)


def _case(path: Path, kept_in: Path | None, shown: Path | None, note: str, progress: Progress) -> Opened | AlreadyOpen:
    if _is_same(path, shown):
        return AlreadyOpen(path)
    opened = _opened(path, kept_in, progress)
    return opened._replace(notes=(*opened.notes, note)) if note else opened


def open_recordings(paths: Sequence[Path], new: NewCase, kept_in: Path | None = None, shown: Path | None = None) -> Job:
    """Task that opens the case of these recordings, or of those in these folders; starts one of a single recording.

    Brings an Opened or AlreadyOpen, or an Existing or Several where something must be asked first.
    """
    return partial(_of_recordings, paths, new, kept_in, shown)


def _of_recordings(
    paths: Sequence[Path], new: NewCase, kept_in: Path | None, shown: Path | None, progress: Progress
) -> Opened | AlreadyOpen | Existing | Several:
    chosen = _recordings_of(paths)
    if len(chosen) == 1:
        demuxer_of(chosen[0])  # of what is no recording this knows best what it is
    found = _of_case(chosen)
    if isinstance(found, Existing):
        return found
    if found:
        is_shown = next((one for one in found if _is_same(one, shown)), None)
        return AlreadyOpen(is_shown) if is_shown else _first_of(found, kept_in, progress)
    return Several(chosen) if len(chosen) > 1 else _started(chosen, new, kept_in, progress)


def start_case(paths: Sequence[Path], new: NewCase, kept_in: Path | None = None) -> Job:
    """Task that starts a case of these recordings in this order, beside the first and under a name that is free."""
    return partial(_started, paths, new, kept_in)


def start_each(paths: Sequence[Path], new: NewCase, kept_in: Path | None = None) -> Job:
    """Task that starts a case of each of these recordings which has none yet."""
    return partial(_each_started, paths, new, kept_in)


def _each_started(paths: Sequence[Path], new: NewCase, kept_in: Path | None, progress: Progress) -> Started:
    prints = _fingerprints(paths)
    held = {
        one.case.recordings[0].fingerprint: one.path
        for one in reversed(_cases(paths, prints))
        if len(one.case.recordings) == 1
    }
    cases = []
    for number, path in enumerate(paths):
        case = held.get(prints.get(path, ""))
        if case is None:
            part = Scaled(progress, number, number + 1, len(paths))
            with _new_session([path], new, kept_in, part) as session:
                case = session.path
        cases.append(case)
    return Started(tuple(cases))


def open_sample(
    sample: Sample = MEMBRANES,
    folder: Path | None = None,
    kept_in: Path | None = None,
    shown: Path | None = None,
) -> Job:
    """Task that opens a sample with its steps tagged; what was done to it before is kept.

    The sample's case is known by the recording that travels with the program, wherever that is installed now.
    """
    return partial(_sample, sample, folder or sample_folder(), kept_in, shown)


def _sample(
    sample: Sample, kept: Path, kept_in: Path | None, shown: Path | None, progress: Progress
) -> Opened | AlreadyOpen:
    usual = beside(kept / sample.recording)
    held = cases_of([fingerprint(sample.home / sample.recording)], kept, [usual])
    path = held[0].path if held else free_beside(usual.with_name(sample.recording), is_same=True)
    if _is_same(path, shown):
        return AlreadyOpen(path)
    if not held:
        create_sample(path, sample).close()
    opened = _opened(path, kept_in, progress, [sample.home])
    # That the program was installed elsewhere is nothing that its user must know.
    located = tuple(one._replace(state="as left") if one.state == "moved" else one for one in opened.located)
    return opened._replace(located=located)


def sample_folder() -> Path:
    """Where the program keeps the cases of the samples."""
    return user_data_path("surgical-step-annotator", appauthor=False) / "sample"


def look_again(session: Session, note: str, kept_in: Path | None = None) -> Job:
    """Task that looks for the recordings of an open session anew; `note` is what the user should see then."""
    return partial(_again, session, note, kept_in)


def _again(session: Session, note: str, kept_in: Path | None, progress: Progress) -> Opened:
    return read(session, kept_in, progress)._replace(is_new=False, notes=(note,) if note else ())


def read(session: Session, kept_in: Path | None, progress: Progress, folders: Sequence[Path] = ()) -> Opened:
    """The session's recordings, located and indexed; one that can't be read is said, and the case still opens."""
    case = session.case
    found = find_recordings(case, session.path, folders, progress, kept_in)
    shapes, sound = _facts(case, found.located, found.frames)
    return Opened(session, found.located, found.frames, shapes, sound, found.unreadable)


# --- which case it is --------------------------------------------------------------------------------------------


def _recordings_of(paths: Sequence[Path]) -> tuple[Path, ...]:
    """The recordings, those of a folder in its place; several in natural order, each once."""
    found = [one for path in paths for one in (recordings_in(path) if path.is_dir() else [path])]
    return tuple(in_natural_order(dict.fromkeys(found)))


def _cases(chosen: Sequence[Path], prints: Mapping[Path, str]) -> list[CaseOf]:
    """The cases that lie beside the recordings and hold any of them; those with the names of theirs come first."""
    folders = dict.fromkeys(path.parent for path in chosen)
    usual = [beside(path) for path in chosen]
    return [one for folder in folders for one in cases_of(set(prints.values()), folder, usual)]


def _fingerprints(chosen: Sequence[Path]) -> dict[Path, str]:
    """Of those that can be read."""
    found = {}
    for path in chosen:
        try:
            found[path] = fingerprint(path)
        except StoreError:
            continue
    return found


def _of_case(chosen: Sequence[Path]) -> list[Path] | Existing:
    """The cases of exactly these recordings, or one to ask about. Raises what reading the usual one raises."""
    named, prints = beside(chosen[0]), _fingerprints(chosen)
    cases, contents = _cases(chosen, prints), set(prints.values())
    is_read = any(one.path == named for one in cases)
    usual = read_case(named).case if named.exists() and not is_read else None
    same = [one.path for one in cases if {held.fingerprint for held in one.case.recordings} == contents]
    if same and len(contents) == len(chosen):
        return same
    if cases:
        return Existing(cases[0].path, tuple(chosen), _holds_others(cases[0], len(chosen)))
    if usual is not None and any(one.path == path_to_keep(chosen[0], named) for one in usual.recordings):
        says = f"“{named.name}” was made for another recording with the name {chosen[0].name}."
        return Existing(named, tuple(chosen), says)
    return []


def _first_of(cases: Sequence[Path], kept_in: Path | None, progress: Progress) -> Opened:
    opened = _opened(cases[0], kept_in, progress)
    others = ", ".join(f"“{one.name}”" for one in cases[1:])
    note = f"These recordings have more than one case here. “{cases[0].name}” is open, not {others}."
    return opened._replace(notes=(*opened.notes, note)) if others else opened


def _is_same(case: Path, shown: Path | None) -> bool:
    try:
        return shown is not None and case.samefile(shown)
    except OSError:
        return False


def _holds_others(held: CaseOf, chosen: int) -> str:
    count = len(held.case.recordings)
    return f"“{held.path.name}” holds {count} recording{'s' * (count != 1)}; you selected {chosen}."


def _started(chosen: Sequence[Path], new: NewCase, kept_in: Path | None, progress: Progress) -> Opened:
    return _closed_on_failure(_new_session(chosen, new, kept_in, progress), kept_in, progress)


def _new_session(chosen: Sequence[Path], new: NewCase, kept_in: Path | None, progress: Progress) -> Session:
    usual = beside(chosen[0])
    # Only where the usual name is taken does it matter by whom.
    is_same = usual.exists() and bool(_cases(chosen[:1], _fingerprints(chosen[:1])))
    path = free_beside(chosen[0], is_same=is_same)
    terms = find(new.vocabulary)
    case = new_case(chosen, terms, UNTITLED, path, progress, kept_in)
    return Session.create(path, set_kind(case, new.kind).case if terms.has_kind(new.kind) else case)


# --- opening it ----------------------------------------------------------------------------------------------------


def _opened(path: Path, kept_in: Path | None, progress: Progress, folders: Sequence[Path] = ()) -> Opened:
    """The case for changing, or for reading where somebody else has it or it can't be changed here."""
    try:
        session, why = Session.open(path), ""
    except StoreError as error:
        # Held by somebody else, or in a folder that can't be written to: no reason not to look.
        # A file that can't be read at all says so again.
        session, why = Session.open(path, writable=False), str(error)
    opened = _closed_on_failure(session, kept_in, progress, folders)
    return opened._replace(why_read_only="" if session.holder else why)


def _closed_on_failure(
    session: Session, kept_in: Path | None, progress: Progress, folders: Sequence[Path] = ()
) -> Opened:
    try:
        opened = _with_places_kept(read(session, kept_in, progress, folders))
        return opened if session.read_only else opened._replace(offered=tuple(_offered(opened)))
    except BaseException:
        session.close()
        raise


def _offered(opened: Opened) -> Iterator[Offered]:
    """Files that hold tags, for a case that has none."""
    paths = [one.path for one in opened.located if one.path is not None]
    return offered(opened.session.case, opened.frames, paths)


def _with_places_kept(opened: Opened) -> Opened:
    """The new places of moved recordings are written into the case, so that they need not be looked for again."""
    try:
        keep_new_places(opened.session, opened.located)
    except StoreError as error:
        return opened._replace(notes=(*opened.notes, str(error)))
    return opened


def _facts(case: Case, located: Sequence[Located], frames: CaseFrames) -> tuple[tuple[Shape, ...], bool]:
    shapes, sound = [Shape()] * len(case.recordings), False
    for one in located:
        index = frames.index(one.recording)
        if one.path is None or index is None:
            continue
        try:
            facts = probe(one.path, index)
        except MediaError:
            continue
        shapes[one.recording] = Shape(float(facts.display_aspect), facts.display_height)
        sound = sound or facts.audio_codec is not None
    return tuple(shapes), sound
