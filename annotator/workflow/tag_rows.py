"""From rows of text to tags of a case: names matched, times put on frame boundaries, every fault said."""

from collections.abc import Callable, Iterable, Sequence
from enum import StrEnum
from functools import partial
from typing import NamedTuple, TypeVar

from annotator.errors import AmbiguousName, AnnotatorError, Gathered, UnknownName, told
from annotator.formats.faults import LONGEST_NAME, LONGEST_TEXT
from annotator.formats.tables.tags_csv import RUNNING, TagRow
from annotator.model.case import Case, Certainty, Tag
from annotator.model.edits import new_id
from annotator.model.place import parse_place, print_place
from annotator.model.timecode import Ms, clock, parse
from annotator.model.vocabulary import MATERIAL, Concept, Meaning, Vocabulary
from annotator.model.words.forms import without_strength
from annotator.plain_text import quoted
from annotator.progress import Progress, silent
from annotator.workflow.frames import CaseFrames

Choice = TypeVar("Choice", bound=StrEnum)
Value = TypeVar("Value")


class Answer(StrEnum):
    """Whether somebody has confirmed a tag."""

    YES = "yes"
    NO = "no"


_AT_ONCE = 500
"""Rows between two looks at whether the work should stop."""


class Read(NamedTuple):
    """Tags from rows, the faults of rows that gave none, and what moved beyond a frame."""

    tags: tuple[Tag, ...]
    faults: Gathered
    moved: tuple[str, ...]


def read_rows(rows: Sequence[TagRow], case: Case, frames: CaseFrames, progress: Progress = silent) -> Read:
    """Turn rows into tags for `case`; each fault names its row, and a row may have several."""
    tags: list[Tag] = []
    meanings = _Meanings(case.vocabulary)
    faults, moved = Gathered(), Gathered()
    for done, row in enumerate(rows):
        if done % _AT_ONCE == 0:
            progress(done, len(rows))
        reader = _RowReader(row, case, frames, faults, meanings)
        tag = reader.tag()
        if tag is not None:
            tags.append(tag)
            for says in reader.moved:
                moved.note(says)
    return Read(tuple(tags), faults, moved.lines)


def to_confirm(case: Case, tags: Iterable[Tag]) -> tuple[str, ...]:
    """A line on each of the words for which tags are only proposed."""
    meant = {tag.words: case.concept_of(tag) for tag in tags if tag.words and not tag.confirmed}
    says = [
        f"{quoted(words)} is taken as {quoted(concept.label())}, to be confirmed"
        for words, concept in meant.items()
        if concept is not None
    ]
    return told(says)


def rows_of(case: Case, tags: Iterable[Tag] | None = None) -> list[TagRow]:
    """Tags of a case, or all of them, as rows that `read_rows` turns into the same; unknown terms keep their IRI."""
    return [_row_of(case, tag) for tag in (case.tags if tags is None else tags)]


def _row_of(case: Case, tag: Tag) -> TagRow:
    concept = case.concept_of(tag)
    return TagRow(
        where="",
        start=clock(tag.start),
        end=RUNNING if tag.end is None else clock(tag.end),
        step=concept.notation if concept else tag.concept,
        performer=tag.performer or "",
        place=print_place(tag.place),
        certainty=tag.certainty,
        note=tag.note,
        strength=tag.strength,
        confirmed=Answer.YES if tag.confirmed else Answer.NO,
        words=tag.words,
    )


class _Meanings:
    """What the words of a table mean, each looked up once."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        self._found: dict[str, Meaning | AnnotatorError] = {}

    def of(self, words: str) -> Meaning:
        """As `Vocabulary.meaning`, and it raises the same."""
        found = self._found.get(words)
        if found is None:
            found = self._found[words] = self._look_up(words)
        if isinstance(found, AnnotatorError):
            raise found.with_traceback(None)
        return found

    def _look_up(self, words: str) -> Meaning | AnnotatorError:
        try:
            return self._vocabulary.meaning(words)
        except (UnknownName, AmbiguousName) as error:
            return error


class _RowReader:
    """Reads one row to the end, so that all that is wrong with it is said at once."""

    def __init__(self, row: TagRow, case: Case, frames: CaseFrames, faults: Gathered, meanings: _Meanings) -> None:
        self._row = row
        self._case = case
        self._frames = frames
        self._faults = faults
        self._meanings = meanings
        self._is_sound = True
        self.moved: list[Callable[[], str]] = []

    def tag(self) -> Tag | None:
        """The row as a tag, or None where the faults say why not."""
        row = self._row
        meaning = self._filled("step", row.step, self._meanings.of)
        concept = None if meaning is None else meaning.concept
        start = self._time("start", row.start)
        end = self._end(concept, start)
        performer = self._try(lambda: self._case.roles.meant(row.performer).code if row.performer else None)
        certainty = self._try(lambda: _choice(Certainty, "certainty", row.certainty))
        place = self._try(lambda: parse_place(row.place, self._case.eye))
        confirmed = self._try(lambda: _choice(Answer, "confirmation", row.confirmed))
        self._check_lengths()
        strength = self._strength(meaning)
        if (
            meaning is None
            or concept is None
            or start is None
            or not self._is_sound
            or not self._is_range(concept, start, end)
        ):
            return None
        return Tag(
            id=new_id(),
            concept=concept.iri,
            start=start,
            end=end,
            performer=performer,
            place=place or frozenset(),
            certainty=certainty or Certainty.CERTAIN,
            note=row.note,
            confirmed=meaning.is_sure and confirmed is not Answer.NO,
            words=row.words if meaning.is_sure else row.step,
            strength=strength,
        )

    def _check_lengths(self) -> None:
        row = self._row
        texts = (("note", row.note, LONGEST_TEXT), ("cell “words”", row.words, LONGEST_TEXT))
        for name, text, longest in (*texts, ("strength", row.strength, LONGEST_NAME)):
            if len(text) > longest:
                self._fault(f"the {name} is longer than {longest:,} characters")

    def _strength(self, meaning: Meaning | None) -> str:
        """Of a material, from its own cell or from the step's; they may not differ."""
        own = self._row.strength
        named = meaning.strength if meaning is not None and meaning.concept.facet == MATERIAL else ""
        if own and named and (without_strength(own)[1] or own) != named:
            self._fault(f"the step says {named}, but the strength is {quoted(own)}; leave one of them out")
        return own or named

    def _end(self, concept: Concept | None, start: Ms | None) -> Ms | None:
        text = self._row.end
        if text.casefold() == RUNNING:
            return None
        if not text and concept is not None and self._case.vocabulary.facet(concept.facet).moments:
            return start
        return self._time("end", text)

    def _time(self, column: str, text: str) -> Ms | None:
        """A time on a frame boundary; how far it had to move is noted where that is more than a frame."""
        meant = self._filled(column, text, parse)
        if meant is None:
            return None
        at = self._frames.nearest(meant)
        frame = self._frames.frame_length(at)
        beyond = meant - self._case.duration
        if beyond > 0 and beyond > frame:
            self._fault(f"{column} {clock(meant)} is after the end of the recording at {clock(self._case.duration)}")
            return None
        if abs(at - meant) > frame:
            says = "{}: {} {} moves to the frame at {}".format
            self.moved.append(partial(says, self._row.where, column, clock(meant), clock(at)))
        return at

    def _is_range(self, concept: Concept, start: Ms, end: Ms | None) -> bool:
        if end is None or end > start or (end == start and self._case.vocabulary.facet(concept.facet).moments):
            return True
        if end < start:
            self._fault(f"ends at {clock(end)}, before it starts at {clock(start)}")
        else:
            self._fault(f"{concept.label()} at {clock(start)} is shorter than a frame; only events can be moments")
        return False

    def _filled(self, column: str, text: str, read: Callable[[str], Value]) -> Value | None:
        """What a cell says that may not be empty."""
        if text:
            return self._try(lambda: read(text))
        self._fault(f"the cell “{column}” is empty")
        return None

    def _fault(self, says: object) -> None:
        """`says` is put into words only where it is told: an error looks for names like one that is not known."""
        self._is_sound = False
        self._faults.note(lambda: f"{self._row.where}: {says}")

    def _try(self, read: Callable[[], Value]) -> Value | None:
        try:
            return read()
        except AnnotatorError as error:
            self._fault(error)
            return None


def _choice(kind: type[Choice], name: str, text: str) -> Choice | None:
    """The member that a cell names in any letter case; None for an empty cell. Raises UnknownName."""
    if not text:
        return None
    for choice in kind:
        if choice.casefold() == " ".join(text.casefold().split()):
            return choice
    raise UnknownName(name, text, list(kind))
