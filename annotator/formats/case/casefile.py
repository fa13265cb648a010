"""The case file: a W3C Web Annotation collection in JSON-LD. `docs/case-file.md` describes it for writers of readers.

Each tag is an Annotation: its targets are recordings with a time range (Media Fragments), its body a
concept of the vocabulary that travels in the same file. Keys that this version does not know are kept.
"""

import re
from codecs import BOM_UTF8
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache, partial
from typing import Any

import msgspec
from msgspec.structs import replace

from annotator.errors import InvalidFile, InvalidVocabulary
from annotator.formats.case import facts
from annotator.formats.case.fields import Fields, json_place
from annotator.formats.case.jsonld_context import ANNOTATION, CONTEXT
from annotator.formats.case.layout import laid_out, lines_of
from annotator.formats.case.tags import AnnotationReader, take_fixed, to_annotation, with_extra
from annotator.formats.case.upgrades import NAME, VERSION, Document, upgrade
from annotator.formats.case.vocabulary import from_jsonld, to_jsonld
from annotator.formats.faults import Faults, Path, short
from annotator.formats.roles import form as roles
from annotator.model.case import Case, Eye
from annotator.model.recording import Altered, Recording, View
from annotator.model.roles import ROLES_OF_1_0, Roles
from annotator.model.tag_list import Block, in_order
from annotator.model.vocabulary import Vocabulary
from annotator.uncollected import uncollected

LARGEST = 256 * 1024 * 1024
"""Bytes; half a million tags fit in less."""

MOST_VALUES = 20_000_000
"""Values in the JSON, so that a small file can't fill the memory."""

MOST_TAGS = 1_000_000
MOST_REVISIONS = 2**53 - 1  # what every reader of JSON takes as a whole number
MOST_RECORDINGS = 1_000
MOST_PIXELS = 100_000
"""Pixels along one side of a picture."""

WHAT = "This case file can't be read"

_TEXT = re.compile(rb'"[^"\\]*+(?:\\.[^"\\]*+)*+(?:"|\\?\Z)', re.DOTALL)
"""A text in quotation marks, or what is left of the file where the last one is not closed."""

_RATE = re.compile(r"(\d{1,12})(?:/(\d{1,12}))?", re.ASCII)


# --- writing ---------------------------------------------------------------------------------------------


def dumps(case: Case, revision: int) -> bytes:
    """The case as the UTF-8 text of a case file; the same case always gives the same bytes."""
    document = put_annotations(_without_tags(case, revision), _texts_of(case))
    return laid_out(document | {"total": len(case.tags)})


def _texts_of(case: Case) -> list[msgspec.Raw]:
    """The tags as text, block by block; kept with each, so that a save after a few edits makes text of these alone."""
    on = (case.recordings,)
    return [block.once("text", on, partial(_text_of, case, block)) for block in case.tag_list.blocks]


def document_of(case: Case, revision: int) -> Document:
    """The case as JSON values."""
    return put_annotations(_without_tags(case, revision), [to_annotation(case, tag) for tag in case.tags])


def _text_of(case: Case, block: Block) -> msgspec.Raw:
    return lines_of(to_annotation(case, tag) for tag in block)


def _without_tags(case: Case, revision: int) -> Document:
    document: Document = {
        "schemaName": NAME,  # first, so that what is left of a damaged file is known for a case
        "schemaVersion": VERSION,
        "@context": CONTEXT,
        "id": case.id,
        "type": "AnnotationCollection",
        "label": case.title,
        "revision": revision,
        "eye": case.eye,
        "kind": case.kind,
        "blindTo": case.blind_to,
        "done": case.is_done,
        "facts": facts.to_plain(case.facts),
        "recordings": [_plain_recording(recording) for recording in case.recordings],
        "roles": roles.to_plain(case.roles),
        "vocabulary": to_jsonld(case.vocabulary),
    }
    for key in ("eye", "kind", "blindTo", "done", "facts"):
        if not document[key]:
            del document[key]
    return with_extra(document, case.extra)


def put_annotations(document: Document, annotations: Sequence[Mapping[str, Any] | msgspec.Raw]) -> Document:
    """Put the annotations, however many, in the place of those that a document has. A page may not be empty."""
    document["total"] = len(annotations)
    for key in ("first", "last"):
        document.pop(key, None)
    if annotations:
        case_id = document.get("id")
        page = {"id": f"{case_id}#tags", "type": "AnnotationPage", "partOf": case_id, "startIndex": 0}
        document |= {"first": page | {"items": annotations}, "last": page["id"]}
    return document


def _plain_recording(recording: Recording) -> dict[str, Any]:
    plain = {
        "id": recording.id,
        "type": "Video",
        "path": recording.path,
        "fingerprint": recording.fingerprint,
        "durationMs": recording.duration,
        "frameRate": None if recording.frame_rate is None else str(recording.frame_rate),
        "width": recording.width or None,
        "height": recording.height or None,
        "altered": list(recording.altered) or None,
        "picture": recording.picture,
    }
    return with_extra({key: value for key, value in plain.items() if value is not None}, recording.extra)


# --- reading ---------------------------------------------------------------------------------------------


def loads(data: bytes) -> tuple[Case, int]:
    """The case in the bytes of a case file of any version, and its revision.

    Raises InvalidFile with every fault and its place in the JSON, NewerSchema for a later version.
    """
    with uncollected():
        return case_of(parsed(data))


def parsed(data: bytes) -> Document:
    """The JSON of a case file, within bounds, as it stands. Raises InvalidFile where it is no JSON object."""
    if len(data) > LARGEST:
        raise InvalidFile(WHAT, [f"it is larger than {LARGEST // 1024**2} MB"])
    # What stands in texts is left out of the count only where it matters, for that takes longer.
    if _separators(data) > MOST_VALUES and _separators(_TEXT.sub(b"", data)) > MOST_VALUES:
        raise InvalidFile(WHAT, [f"it contains more than {MOST_VALUES} values"])
    try:
        document = msgspec.json.decode(data.removeprefix(BOM_UTF8))
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        is_text = b"\0" not in data[:1024]
        why = (
            f"it is not valid JSON: {error}" if is_text else "it is not text; annotator new makes a case of a recording"
        )
        raise InvalidFile(WHAT, [why]) from error
    except RecursionError as error:
        raise InvalidFile(WHAT, ["its values are nested too deeply"]) from error
    if not isinstance(document, dict):
        raise InvalidFile(WHAT, ["it does not contain an object in braces"])
    return document


def _separators(data: bytes) -> int:
    return sum(map(data.count, (b",", b"[", b"{")))


def case_of(document: Document) -> tuple[Case, int]:
    """The case that a document of any version holds, and its revision; an earlier version is brought up in place.

    Raises as `loads` does.
    """
    upgrade(document)
    faults = Faults(json_place)
    fields = Fields(document, (), faults)
    annotations = _annotations(fields)
    revision = fields.whole("revision", most=MOST_REVISIONS)
    case = _head(fields)
    _refuse(faults)
    reader = AnnotationReader(case, faults)
    tags = [reader.tag(one, ("first", "items", index)) for index, one in enumerate(annotations)]
    _note_doubles(faults, ("first", "items"), [tag.id for tag in tags])
    _refuse(faults)
    return replace(case, tags=in_order(tags)), revision


def _head(fields: Fields) -> Case:
    """Everything but the tags."""
    take_fixed(fields, "type", "AnnotationCollection")
    contexts = [one for one in fields.items("@context") if one != ANNOTATION and not _is_ours(one)]
    if contexts:
        fields.keep("@context", contexts)
    for written_anew in ("schemaName", "schemaVersion", "total"):
        fields.take(written_anew)
    recordings = _recordings(fields)
    return Case(
        id=fields.iri("id"),
        title=fields.text("label"),
        vocabulary=_vocabulary(fields),
        recordings=recordings,
        eye=fields.member("eye", Eye),
        kind=fields.text("kind"),
        blind_to=fields.iri("blindTo") if "blindTo" in fields else "",
        is_done=fields.flag("done", unsaid=False),
        roles=_roles(fields),
        facts=facts.from_fields(fields),
        extra=fields.left(),
    )


def _is_ours(context: object) -> bool:
    return isinstance(context, dict) and "schemaName" in context


def _annotations(fields: Fields) -> list[Any]:
    fields.take("last")
    first = fields.take("first")
    if first is None:
        return []
    page = Fields(first, ("first",), fields.faults)
    if page.take("next") is not None:
        page.fault("next", "further pages are not read; put all annotations on this one")
    annotations = page.items("items")
    if len(annotations) > MOST_TAGS:
        page.fault("items", f"{len(annotations)} tags are more than the {MOST_TAGS} that are read")
        return []
    return annotations


def _recordings(fields: Fields) -> tuple[Recording, ...]:
    plain = fields.items("recordings")
    if not 1 <= len(plain) <= MOST_RECORDINGS:
        fields.fault("recordings", f"a case has 1 to {MOST_RECORDINGS} recordings, and here are {len(plain)}")
        return ()
    found = tuple(_recording(Fields(one, ("recordings", i), fields.faults)) for i, one in enumerate(plain))
    _note_doubles(fields.faults, ("recordings",), [recording.id for recording in found])
    return found


def _recording(fields: Fields) -> Recording:
    take_fixed(fields, "type", "Video")
    if "durationMs" not in fields:
        fields.fault("durationMs", "this key is missing")
    return Recording(
        id=fields.iri("id"),
        path=fields.text("path"),
        fingerprint=fields.text("fingerprint"),
        duration=fields.whole("durationMs"),
        frame_rate=_rate(fields),
        width=fields.whole("width", MOST_PIXELS),
        height=fields.whole("height", MOST_PIXELS),
        altered=tuple(sorted(fields.members("altered", Altered))),
        picture=fields.member("picture", View),
        extra=fields.left(),
    )


def _rate(fields: Fields) -> Fraction | None:
    text = fields.text("frameRate")
    if not text:
        return None
    found = _RATE.fullmatch(text)
    if not found or not int(found[2] or 1):
        fields.fault("frameRate", f"“{short(text)}” is not a rate such as 30000/1001")
        return None
    return Fraction(int(found[1]), int(found[2] or 1))


def _vocabulary(fields: Fields) -> Vocabulary:
    try:
        return _read_vocabulary(msgspec.json.encode(fields.take("vocabulary")))
    except InvalidVocabulary as error:
        fields.faults.join(error.faults, error.more)
        return Vocabulary("", "", "", {}, (), ())


@lru_cache(8)
def _read_vocabulary(text: bytes) -> Vocabulary:
    """By its JSON: most cases of a folder have the same, which takes longer to read than all of their tags."""
    return from_jsonld(msgspec.json.decode(text), _place_in_vocabulary)


def _place_in_vocabulary(path: Path) -> str:
    return json_place(("vocabulary", *path))


def _roles(fields: Fields) -> Roles:
    """A case without a list knows the roles that every case knew at first."""
    plain = fields.take("roles")
    try:
        return ROLES_OF_1_0 if plain is None else roles.from_plain(plain, json_place)
    except InvalidFile as error:
        fields.faults.join(error.faults, error.more)
        return ROLES_OF_1_0


def _note_doubles(faults: Faults, where: Path, ids: Sequence[str]) -> None:
    if len(set(ids)) == len(ids):
        return
    first: dict[str, int] = {}
    for index, one in enumerate(ids):
        if first.setdefault(one, index) != index:
            earlier = json_place((*where, first[one]))
            faults.add((*where, index, "id"), f"“{short(one)}” is the id of {earlier} already")


def _refuse(faults: Faults) -> None:
    if faults.said:
        raise InvalidFile(WHAT, faults.said, faults.more)
