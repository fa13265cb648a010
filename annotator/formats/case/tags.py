"""One tag as one Web Annotation, and back.

Web Annotation Data Model, W3C Recommendation of 23 February 2017, https://www.w3.org/TR/annotation-model/ .
A tag that crosses from one recording into the next has one target for each; the times in a target
count from its recording's own zero.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from annotator.errors import InvalidEdit, UnknownName
from annotator.formats.case import media_fragment
from annotator.formats.case.fields import IRI, Fields
from annotator.formats.case.usual_tag import UsualTag, usual_tag
from annotator.formats.faults import LONGEST_NAME, Faults, Path, short
from annotator.model.case import Case, Certainty, Tag
from annotator.model.pieces import Piece, pieces
from annotator.model.place import Place, parse_place, print_place
from annotator.model.timecode import LATEST, Ms

A_MOMENT: Ms = 1
"""A moment is written as a range of this length, for Media Fragments has no empty ones, and marked `moment`."""


# --- writing ---------------------------------------------------------------------------------------------


def to_annotation(case: Case, tag: Tag) -> dict[str, Any]:
    """The tag as an Annotation on the case's recordings."""
    plain: dict[str, Any] = {
        "id": tag.id,
        "type": "Annotation",
        "motivation": "classifying",
        "created": tag.created,
        "modified": tag.modified,
        "creator": _creator(tag.author),
        "body": _bodies(tag),
        "target": [_target(case, piece) for piece in pieces_of(case, tag)],
        "moment": tag.end == tag.start,
        "performer": tag.performer,
        "certainty": tag.certainty,
        "place": print_place(tag.place) if tag.place else "",
        "words": tag.words,
        "strength": tag.strength,
    }
    said = {key: value for key, value in plain.items() if value} | {"confirmed": tag.confirmed}
    return with_extra(said, tag.extra)


def pieces_of(case: Case, tag: Tag) -> Iterator[Piece]:
    """The tag as it is written, cut at the borders between recordings."""
    end = tag.start + A_MOMENT if tag.end == tag.start else tag.end
    return pieces(case, tag.start, end)


def _target(case: Case, piece: Piece) -> dict[str, Any]:
    return {
        "type": "SpecificResource",
        "source": case.recordings[piece.recording].id,
        "selector": {
            "type": "FragmentSelector",
            "conformsTo": media_fragment.CONFORMS_TO,
            "value": media_fragment.dumps(piece.start, piece.end),
        },
    }


def _bodies(tag: Tag) -> list[dict[str, Any]]:
    term = {"type": "SpecificResource", "source": tag.concept, "purpose": "classifying"}
    note = {"type": "TextualBody", "value": tag.note, "format": "text/plain", "purpose": "commenting"}
    return [term, note] if tag.note else [term]


def _creator(author: str) -> str | dict[str, str]:
    if not author or IRI.fullmatch(author):
        return author
    return {"type": "Person", "name": author}


def with_extra(plain: dict[str, Any], extra: Mapping[str, Any]) -> dict[str, Any]:
    """An object with the keys that were left over when it was read: added, joined to a list, or put inside."""
    for key, value in extra.items():
        ours = plain.get(key)
        if isinstance(ours, dict) and isinstance(value, Mapping):
            plain[key] = with_extra(ours, value)
        elif ours is not None and isinstance(value, list):
            plain[key] = [*(ours if isinstance(ours, list) else [ours]), *value]
        else:
            plain[key] = value
    return plain


# --- reading ---------------------------------------------------------------------------------------------


class AnnotationReader:
    """Reads the annotations of one case, noting every fault; what it returns holds only if there was none."""

    def __init__(self, case: Case, faults: Faults) -> None:
        self._case = case
        self._faults = faults
        self._recordings = {recording.id: index for index, recording in enumerate(case.recordings)}
        self._borders = case.borders

    def tag(self, plain: object, path: Path) -> Tag:
        usual = usual_tag(plain)
        return (usual and self._usual(usual)) or self._any(plain, path)

    def _usual(self, usual: UsualTag) -> Tag | None:
        """None where its range or its place holds a fault that is to be told."""
        recording = self._recordings.get(usual.target.source)
        times = media_fragment.loads(usual.target.selector.value)
        if recording is None or times is None:
            return None
        piece = self._within(Piece(recording, *times))
        says, place = usual.says, _place_or_none(usual.says.place)
        performer = says.performer or None
        if piece is None or place is None or (performer and performer not in self._case.roles.by_code):
            return None
        border = self._borders[recording]
        start, end = border + piece.start, None if piece.end is None else border + piece.end
        return Tag(
            says.id,
            usual.concept,
            start,
            start if says.moment else end,
            performer,
            place,
            says.certainty,
            usual.note,
            says.confirmed,
            usual.author,
            says.created,
            says.modified,
            words=says.words,
            strength=says.strength,
        )

    def _any(self, plain: object, path: Path) -> Tag:
        fields = Fields(plain, path, self._faults)
        take_fixed(fields, "type", "Annotation")
        take_fixed(fields, "motivation", "classifying")
        start, end = self._range(fields)
        concept, note = self._bodies(fields)
        return Tag(
            id=fields.iri("id"),
            concept=concept,
            start=start,
            end=start if fields.flag("moment", unsaid=False) else end,
            performer=self._performer(fields),
            place=_place(fields),
            certainty=fields.member("certainty", Certainty) or Certainty.CERTAIN,
            note=note,
            confirmed=fields.flag("confirmed", unsaid=True),
            author=_author(fields),
            created=fields.utc("created"),
            modified=fields.utc("modified"),
            words=fields.text("words"),
            strength=fields.text("strength"),
            extra=fields.left(),
        )

    def _performer(self, fields: Fields) -> str | None:
        """A code, as it stands in the case's own list."""
        code = fields.text("performer")
        try:
            return self._case.roles.known(code).code if code else None
        except UnknownName as error:
            fields.fault("performer", str(error))
            return None

    def _range(self, fields: Fields) -> tuple[Ms, Ms | None]:
        """Case time from the first target's start to the last one's end."""
        reached: Ms | None = None
        start: Ms = 0
        targets = fields.items("target")
        if not targets:
            fields.fault("target", "this key is missing: a tag points to a recording")
        for index, target in enumerate(targets):
            path = (*fields.path, "target", index)
            piece = self._piece(Fields(target, path, self._faults))
            if piece is None:
                continue
            border = self._borders[piece.recording]
            if index == 0:
                start = border + piece.start
            elif border + piece.start != reached:
                self._faults.add(path, "this part does not start where the one before it ends; make them two tags")
            reached = None if piece.end is None else border + piece.end
        return start, reached

    def _piece(self, fields: Fields) -> Piece | None:
        source = fields.text("source", needed=True)
        selectors = fields.items("selector")
        selector = Fields(selectors[0] if selectors else None, (*fields.path, "selector"), self._faults)
        value = selector.text("value", needed=True)
        recording = self._recordings.get(source)
        if source and recording is None:
            fields.fault("source", f"“{short(source)}” is not a recording of this case")
        times = media_fragment.loads(value)
        if value and times is None:
            selector.fault("value", f"“{short(value)}” is not a time range; write start and end, such as t=12.5,48.04")
        if recording is None or times is None:
            return None
        piece = self._within(Piece(recording, times.start, times.end))
        if piece is None:
            selector.fault("value", "this is past the end of its recording")
        return piece

    def _within(self, piece: Piece) -> Piece | None:
        """None past the end of its recording. Only past that of the last one there is room; elsewhere the next one's
        time would be meant.
        """
        last = piece.recording == len(self._case.recordings) - 1
        duration = self._case.recordings[piece.recording].duration
        ends = duration if piece.end is None else piece.end
        if max(piece.start, ends) > (LATEST + A_MOMENT if last else duration):
            return None
        return piece if last else Piece(piece.recording, piece.start, ends)

    def _bodies(self, fields: Fields) -> tuple[str, str]:
        """The concept and the note; bodies of other kinds are left over."""
        concept, note, others = "", "", []
        for index, body in enumerate(fields.items("body")):
            said = Fields(body, (*fields.path, "body", index), self._faults)
            match said.take("purpose"):
                case "classifying" if not concept:
                    concept = said.iri("source")
                case "commenting" if not note:
                    note = said.text("value")
                case _:
                    others.append(body)
        if not concept:
            fields.fault("body", "there is no body with the purpose classifying whose source is a concept")
        if others:
            fields.keep("body", others)
        return concept, note


def take_fixed(fields: Fields, key: str, ours: str) -> None:
    """Take a key that always says `ours`; whatever else stands there is left over, to be joined to it again."""
    others = [value for value in fields.items(key) if value != ours]
    if others:
        fields.keep(key, others)


def _author(fields: Fields) -> str:
    """The creator's name or IRI; what else is said of the creator, or a creator of another kind, is left over."""
    creator = fields.take("creator")
    author = creator
    if isinstance(creator, dict) and creator.get("type") == "Person" and "name" in creator:
        author = creator["name"]
        creator = {key: value for key, value in creator.items() if key not in ("type", "name")}
    if creator and not isinstance(creator, str):
        fields.keep("creator", creator)
    if not isinstance(author, str):
        return ""
    if len(author) > LONGEST_NAME:
        fields.fault("creator", f"the name is longer than {LONGEST_NAME} characters")
    return author


def _place_or_none(text: str) -> Place | None:
    try:
        return parse_place(text) if text else frozenset()
    except InvalidEdit:
        return None


def _place(fields: Fields) -> Place:
    text = fields.text("place")
    try:
        return parse_place(text)
    except InvalidEdit as error:
        fields.fault("place", str(error))
        return frozenset()
