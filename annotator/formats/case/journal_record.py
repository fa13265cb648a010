"""From a change of a case to the record that a journal keeps of it, and from records back to the case."""

from collections.abc import Hashable, Iterable, Sequence
from typing import Any

import msgspec
from msgspec.structs import replace

from annotator.errors import InvalidEdit, InvalidFile
from annotator.formats.case.casefile import case_of, document_of, put_annotations
from annotator.formats.case.fields import json_place
from annotator.formats.case.journal import Record
from annotator.formats.case.tags import AnnotationReader, to_annotation
from annotator.formats.case.upgrades import Document, upgrade, version_of
from annotator.formats.faults import Faults
from annotator.model.case import Case, Tag
from annotator.model.delta import Delta


def record_of(before: Case, after: Case, delta: Delta, revision: int) -> Record:
    """The record of the change from `before` to `after`.

    Raises InvalidEdit where the change could not be read back as it is, so that nothing is ever
    acknowledged that would be missing when the case is opened again.
    """
    put = delta.put if _clock(before) == _clock(after) else after.tags
    head = None if delta.head is None else document_of(replace(after, tags=()), revision)
    try:
        annotations = tuple(to_annotation(after, tag) for tag in put)
        record = Record(revision, after.id, head=head, put=annotations, drop=delta.drop)
        faults = _differences(msgspec.json.decode(msgspec.json.encode(record)), after, put)
    except (TypeError, UnicodeEncodeError, RecursionError) as error:
        faults = [str(error)]
    except InvalidFile as error:
        faults = list(error.faults)
    if faults:
        raise InvalidEdit(f"this can't be written to a case file: {'; '.join(faults)}")
    return record


def replayed(document: Document, records: Iterable[Record]) -> Document:
    """The document of a case file after the changes that its journal holds. Raises NewerSchema."""
    annotations = _by_id(document)
    for record in records:
        if record.version != version_of(document):
            upgrade(put_annotations(document, list(annotations.values())), to=record.version)
            annotations = _by_id(document)
        document = document if record.head is None else record.head
        for tag_id in record.drop:
            annotations.pop(tag_id, None)
        for annotation in record.put:
            annotations[_key(annotation)] = annotation
        document["revision"] = record.revision
    return put_annotations(document, list(annotations.values()))


def _differences(plain: dict[str, Any], after: Case, put: Sequence[Tag]) -> list[str]:
    """What would not come back when the record is read again. Raises InvalidFile where the case itself would not."""
    if "head" in plain and case_of(plain["head"])[0] != replace(after, tags=()):
        return ["the case contains values that JSON has no form for"]
    faults = Faults(json_place)
    reader = AnnotationReader(after, faults)
    back = [reader.tag(one, ("tag", index)) for index, one in enumerate(plain.get("put", ()))]
    if not faults.said and back != list(put):
        faults.add(("tag",), "it contains values that JSON has no form for")
    return faults.said


def _clock(case: Case) -> list[tuple[str, int]]:
    """What the times in annotations depend on."""
    return [(recording.id, recording.duration) for recording in case.recordings]


def _by_id(document: Document) -> dict[Hashable, dict[str, Any]]:
    items = (document.get("first") or {}).get("items", [])
    return {_key(annotation): annotation for annotation in (items if isinstance(items, list) else [items])}


def _key(annotation: dict[str, Any]) -> Hashable:
    """Its id; one that has none, or something else in its place, is kept all the same, to be refused with its place."""
    key = annotation.get("id")
    return key if isinstance(key, str) else id(annotation)
