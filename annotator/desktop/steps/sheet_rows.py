"""The rows of the step list, made once from the vocabulary: groups and their concepts."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import NamedTuple

from annotator.desktop.commands.actions import Keys
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept, Vocabulary, label_in
from annotator.plain_text import quoted
from annotator.publish.report.phase_colours import phase_fills, top_of


class SheetRow(NamedTuple):
    """A group's heading, a concept that can be tagged, or the offer to add one that is missing.

    concept  its IRI; empty for a heading and an offer
    group    the name of its group
    also     every name that it answers to, one a line
    adds     what the missing concept would be called
    under    the notation of the concept that it would stand under; empty where that is to be asked
    """

    text: str
    group: str
    concept: str = ""
    key: str = ""
    colour: str | None = None
    moments: bool = False
    tip: str = ""
    also: str = ""
    adds: str = ""
    under: str = ""

    @property
    def is_heading(self) -> bool:
        return not self.concept and not self.adds


def rows_of(vocabulary: Vocabulary, keys: Keys, used: Mapping[str, int] = {}) -> list[SheetRow]:
    """Phases with their steps in the order of the vocabulary, then one group for each other facet.

    In the groups that are in no order of the operation, what is `used` more often comes first.
    """
    colours = phase_fills(vocabulary)
    grouped: dict[str, list[SheetRow]] = {}
    heads: dict[str, SheetRow] = {}
    for concept in vocabulary.concepts:
        head = _head(vocabulary, concept)
        if head is None:
            continue
        group, label = head
        heads.setdefault(group, SheetRow(label, group, colour=colours.get(concept.iri)))
        grouped.setdefault(group, []).append(_row(vocabulary, concept, group, keys, colours.get(concept.iri)))
    for group, rows in grouped.items():
        if group not in vocabulary.by_iri and not vocabulary.facet(group).exclusive:
            rows.sort(key=lambda row: -used.get(row.concept, 0))
    return [row for group, rows in grouped.items() for row in (heads[group], *rows)]


def only(rows: Sequence[SheetRow], concepts: Collection[str]) -> list[SheetRow]:
    """The rows of some concepts with their headings, and below them how many others there are."""
    kept = [row for row in rows if row.concept in concepts]
    groups = {row.group for row in kept}
    others = sum(not row.is_heading for row in rows) - len(kept)
    more = [SheetRow(f"{others} more: type to find them", "")] if others else []
    return [*(row for row in rows if row.concept in concepts or (row.is_heading and row.group in groups)), *more]


def offers_to_add(vocabulary: Vocabulary, words: str, here: Iterable[Concept]) -> list[SheetRow]:
    """Rows that add a missing concept: under the phase of what is tagged `here`, and under one to be asked for."""
    called = quoted(words)
    phases = dict.fromkeys(one.notation for concept in here if (one := top_of(vocabulary, concept)))
    at_once = [
        SheetRow(f"Add {called} under {vocabulary.by_notation[phase].label()}", "", adds=words, under=phase)
        for phase in list(phases)[:1]
    ]
    return [*at_once, SheetRow(f"Add {called} under{' another' if at_once else ''}…", "", adds=words)]


def _head(vocabulary: Vocabulary, concept: Concept) -> tuple[str, str] | None:
    """The group a concept stands in, as a name and a heading; None for a phase that is itself the heading."""
    top = top_of(vocabulary, concept)
    if top is None:
        return concept.facet, label_in(vocabulary.facet(concept.facet).label, DEFAULT_LANGUAGE)
    if top is concept and any(one.broader == concept.notation for one in vocabulary.concepts):
        return None
    return top.iri, top.label()


def _row(vocabulary: Vocabulary, concept: Concept, group: str, keys: Keys, colour: str | None) -> SheetRow:
    return SheetRow(
        text=concept.label(),
        group=group,
        concept=concept.iri,
        key=_as_cap(keys.concepts.get(concept.iri, "")),
        colour=colour,
        moments=vocabulary.facet(concept.facet).moments,
        tip=_tip(concept),
        also="\n".join(concept.names()),
    )


def _tip(concept: Concept) -> str:
    """What it is, and at which sight it begins and ends, each on a line."""
    bounds = (("Begins", concept.begins_when), ("Ends", concept.ends_when))
    said = [f"{word}: {text}" for word, texts in bounds if (text := label_in(texts, DEFAULT_LANGUAGE))]
    return "\n".join(filter(None, (label_in(concept.definition, DEFAULT_LANGUAGE), *said)))


def _as_cap(key: str) -> str:
    """A letter as it is typed, without Shift."""
    return key.lower() if len(key) == 1 else key
