"""What changed between two versions of a vocabulary, and how a case is carried from one to the next.

A concept is the same while its IRI is, or, failing that, its notation in the same facet. What a concept takes over from
others is said in the newer version: its `replaces` lists their notations. Two that replace one are a split; one
that replaces several is a merger; a concept that stays and is replaced by another too is one part of a split.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

import msgspec
from msgspec.structs import replace

from annotator.model.case import Case, Tag
from annotator.model.own_terms import counterparts
from annotator.model.vocabulary import Concept, Facet, Vocabulary


class TermChange(msgspec.Struct, frozen=True):
    """One difference: its kind, the notations before and after, and a sentence.

    Kinds: added, removed, renamed, merged, split, moved, re-keyed, reworded, reordered, facet, kind, rules.
    """

    kind: str
    before: tuple[str, ...]
    after: tuple[str, ...]
    says: str


class Carried(NamedTuple):
    """A case's tags with the concepts of another vocabulary, and what had to be decided on the way."""

    tags: tuple[Tag, ...]
    notes: tuple[str, ...]


# --- comparing ---------------------------------------------------------------------------------------


def compare(old: Vocabulary, new: Vocabulary) -> tuple[TermChange, ...]:
    """What is different in `new`, facets first, then concepts in the order of `old`, then what was added."""
    succession = _Succession(new)
    heirs = {concept.notation: succession.heirs(concept) for concept in old.concepts}
    parents: defaultdict[str, list[Concept]] = defaultdict(list)
    for concept in old.concepts:
        for heir in heirs[concept.notation]:
            parents[heir.notation].append(concept)
    changes = [*_facet_changes(old, new), *_kind_changes(old, new)]
    for concept in old.concepts:
        changes += _changes_of(concept, heirs, parents)
    for concept in new.concepts:
        if concept.notation not in parents:
            changes.append(TermChange("added", (), (concept.notation,), f"{_called(concept)} is new"))
    if _order_changed(old, heirs, new):
        changes.append(TermChange("reordered", (), (), "the concepts are in another order"))
    return tuple(changes)


class _Succession:
    """What of a newer vocabulary stands for the concepts of older versions."""

    def __init__(self, new: Vocabulary) -> None:
        self._new = new
        self._place = {concept.notation: place for place, concept in enumerate(new.concepts)}
        self._replacing: defaultdict[str, list[Concept]] = defaultdict(list)
        for concept in new.concepts:
            for notation in concept.replaces:
                self._replacing[notation].append(concept)

    def heirs(self, old: Concept) -> tuple[Concept, ...]:
        """The concepts that stand for an older one, in the order of the operation."""
        same = self._new.by_iri.get(old.iri)
        if same is None:
            alike = self._new.by_notation.get(old.notation)
            same = alike if alike and alike.facet == old.facet else None
        return self._with_replacing(old.notation, same)

    def heirs_of_unknown(self, iri: str) -> tuple[Concept, ...]:
        """The same for a term that no vocabulary at hand knows; what stands last in it is taken for its notation."""
        return self._with_replacing(iri.rpartition("#")[2], self._new.by_iri.get(iri))

    def _with_replacing(self, notation: str, same: Concept | None) -> tuple[Concept, ...]:
        found = [*self._replacing.get(notation, ()), *([same] if same else ())]
        by_place = {self._place[heir.notation]: heir for heir in found}
        return tuple(heir for _, heir in sorted(by_place.items(), key=lambda item: item[0]))


def _changes_of(
    concept: Concept, heirs: Mapping[str, tuple[Concept, ...]], parents: Mapping[str, list[Concept]]
) -> Iterator[TermChange]:
    found = heirs[concept.notation]
    before, after = (concept.notation,), tuple(heir.notation for heir in found)
    if not found:
        yield TermChange("removed", before, (), f"{_called(concept)} is gone, and nothing replaces it")
        return
    if len(found) > 1:
        yield TermChange("split", before, after, f"{_called(concept)} is split into {_enumerated(found)}")
        return
    heir, siblings = found[0], parents[found[0].notation]
    if len(siblings) > 1 and siblings[0] is concept:
        merged = tuple(sibling.notation for sibling in siblings)
        yield TermChange("merged", merged, after, f"{_enumerated(siblings)} are now {_called(heir)}")
    if len(siblings) == 1 or heir.iri == concept.iri:
        yield from _differences(concept, heir, heirs)


def _differences(old: Concept, new: Concept, heirs: Mapping[str, tuple[Concept, ...]]) -> Iterator[TermChange]:
    """What is said otherwise of a concept that stayed one."""

    def change(kind: str, says: str) -> TermChange:
        return TermChange(kind, (old.notation,), (new.notation,), f"{_called(old)} {says}")

    if old.pref_label != new.pref_label or old.notation != new.notation:
        yield change("renamed", f"is now {_called(new)}{_label_changes(old, new)}")
    if old.facet != new.facet:
        yield change("moved", f"went from the category {old.facet} to {new.facet}")
    if new.broader not in _now(heirs, [old.broader] if old.broader else []) and old.broader != new.broader:
        yield change("moved", f"went from under {old.broader or 'nothing'} to under {new.broader or 'nothing'}")
    if old.key != new.key:
        yield change("re-keyed", f"has the key {new.key or 'none'} in place of {old.key or 'none'}")
    wording = [(one.alt_label, one.definition, one.scope_note) for one in (old, new)]
    if wording[0] != wording[1]:
        yield change("reworded", "has other synonyms, another definition or another note")
    if old.begins_when != new.begins_when:
        yield change("reworded", "begins when something else is seen")
    if old.ends_when != new.ends_when:
        yield change("reworded", "ends when something else is seen")
    if old.kinds != new.kinds:
        yield change("kind", f"is shown first in {', '.join(new.kinds) or 'no kind of operation'}")
    for says in _measured_otherwise(old, new, heirs):
        yield change("rules", says)
    if old.inside != new.inside:
        yield change("reworded", f"is {'now' if new.inside else 'no longer'} said to be seen inside the body only")
    if set(_now(heirs, old.usually_after)) != set(new.usually_after):
        yield change("reordered", f"usually comes after {', '.join(new.usually_after) or 'nothing named'}")


def _measured_otherwise(old: Concept, new: Concept, heirs: Mapping[str, tuple[Concept, ...]]) -> Iterator[str]:
    """What measures and checks take otherwise."""
    if old.any_phase != new.any_phase:
        yield "counts for the phase it lies in" if new.any_phase else "always counts for its own phase"
    if old.operating_time != new.operating_time:
        yield f"{new.operating_time} operating time" if new.operating_time else "no longer bounds operating time"
    if old.rules.usual_time != new.rules.usual_time:
        yield "has another usual time"
    if old.rules.usual_place != new.rules.usual_place:
        yield "has another usual place"
    for (key, before), (_, after) in zip(old.rules.named(), new.rules.named(), strict=True):
        if set(_now(heirs, before)) != set(after):
            yield f"has another {key}: {', '.join(after) or 'nothing named'}"
    if old.rules.changes_performer != new.rules.changes_performer:
        changes = "changes" if new.rules.changes_performer else "need not change"
        yield f"{changes} the performer"


def _now(heirs: Mapping[str, tuple[Concept, ...]], notations: Iterable[str]) -> list[str]:
    """What older notations are called now."""
    return [heir.notation for notation in notations for heir in heirs.get(notation, ())]


def _label_changes(old: Concept, new: Concept) -> str:
    """The languages in which the label changed, where the English one did not."""
    if old.label() != new.label() or old.pref_label == new.pref_label:
        return "" if old.notation == new.notation else f" ({old.notation} is now {new.notation})"
    languages = sorted(old.pref_label.keys() | new.pref_label.keys())
    changed = [language for language in languages if old.pref_label.get(language) != new.pref_label.get(language)]
    return f" (changed in {', '.join(changed)})"


def _facet_changes(old: Vocabulary, new: Vocabulary) -> Iterator[TermChange]:
    before = {facet.name: facet for facet in old.facets}
    after = {facet.name: facet for facet in new.facets}
    for name in dict.fromkeys([*before, *after]):
        if name not in after:
            yield TermChange("facet", (name,), (), f"the category {name} is gone")
        elif name not in before:
            yield TermChange("facet", (), (name,), f"the category {name} is new")
        elif before[name] != after[name]:
            yield TermChange(
                "facet", (name,), (name,), f"the category {name} {_facet_difference(before[name], after[name])}"
            )


def _kind_changes(old: Vocabulary, new: Vocabulary) -> Iterator[TermChange]:
    before = {kind.name: kind.label for kind in old.kinds}
    after = {kind.name: kind.label for kind in new.kinds}
    for name in dict.fromkeys([*before, *after]):
        if name not in after:
            yield TermChange("kind", (name,), (), f"the kind of operation {name} is gone")
        elif name not in before:
            yield TermChange("kind", (), (name,), f"the kind of operation {name} is new")
        elif before[name] != after[name]:
            yield TermChange("kind", (name,), (name,), f"the kind of operation {name} has another label")
    if before == after and list(before) != list(after):
        yield TermChange("kind", (), (), "the kinds of operation are in another order")


def _facet_difference(old: Facet, new: Facet) -> str:
    said = []
    if old.exclusive != new.exclusive:
        said.append("holds one tag at a time now" if new.exclusive else "may hold several tags at a time now")
    if old.moments != new.moments:
        said.append("may hold moments now" if new.moments else "may hold no moments now")
    if old.label != new.label:
        said.append("has another label")
    return " and ".join(said)


def _order_changed(old: Vocabulary, heirs: Mapping[str, tuple[Concept, ...]], new: Vocabulary) -> bool:
    """Whether the concepts that stayed one stand in another order than they did."""
    stayed = [found[0].notation for concept in old.concepts if len(found := heirs[concept.notation]) == 1]
    place = {concept.notation: index for index, concept in enumerate(new.concepts)}
    places = [place[notation] for notation in dict.fromkeys(stayed)]
    return places != sorted(places)


# --- carrying a case over ------------------------------------------------------------------------------


def carry(case: Case, new: Vocabulary) -> Carried:
    """The case's tags in another vocabulary. Every tag is kept, with its time and its words.

    Renamed and merged concepts are followed. Where a concept was split, the tag gets the first part, is unconfirmed and
    says so in its note. Where it is gone, the tag keeps the old term, which `new` does not know.
    """
    succession = _Succession(new)
    carried: list[Tag] = []
    decided: Counter[str] = Counter()
    for tag in case.tags:
        old = case.concept_of(tag)
        heirs = _heirs(old, succession, new) if old else succession.heirs_of_unknown(tag.concept)
        name = _called(old) if old else f"<{tag.concept}>"
        if not heirs:
            decided[f"{name} is not in {_full_name(new)}: the old term is kept"] += 1
            carried.append(tag)
        elif len(heirs) == 1:
            if old is None or _called(old) != _called(heirs[0]):
                decided[f"{name} is now {_called(heirs[0])}"] += 1
            carried.append(replace(tag, concept=heirs[0].iri))
        else:
            others = _enumerated(heirs[1:], "or")
            decided[f"{name} is split: taken as {_called(heirs[0])} and unconfirmed, since it may be {others}"] += 1
            note = "\n".join(filter(None, (tag.note, f"was {name}; may also be {others}")))
            carried.append(replace(tag, concept=heirs[0].iri, confirmed=False, note=note))
    notes = [f"{says} ({_tags(count)})" for says, count in decided.items()]
    if case.kind and not new.has_kind(case.kind):
        notes.append(f"{_full_name(new)} has no kind of operation “{case.kind}”: it is not specified any more")
    tags = tuple(carried)
    return Carried(tags, (*notes, *_new_trouble(case, replace(case, vocabulary=new, tags=tags))))


def _heirs(old: Concept, succession: _Succession, new: Vocabulary) -> tuple[Concept, ...]:
    """What stands for a concept: by its IRI, its notation or what is said of it, else what is called the same."""
    return succession.heirs(old) or counterparts(old, new)[:1]


def _new_trouble(before: Case, after: Case) -> Iterator[str]:
    """What the tags may not do in the new vocabulary, though they might in the old."""
    overlaps = _overlaps(after) - _overlaps(before)
    if overlaps > 0:
        where = "in a category that holds one tag at a time"
        yield f"new overlaps {where} ({_tags(overlaps)}); `annotator check` lists them"
    moments = _misplaced_moments(after) - _misplaced_moments(before)
    if moments > 0:
        yield f"no length, though the category now has no moments ({_tags(moments)})"


def _overlaps(case: Case) -> int:
    """How many tags start while another of their exclusive facet still runs."""
    count = 0
    for facet in case.vocabulary.facets:
        if not facet.exclusive:
            continue
        reached = -1
        for start, end in sorted(case.range_of(tag) for tag in case.in_facet(facet.name)):
            count += start < min(reached, end)
            reached = max(reached, end)
    return count


def _misplaced_moments(case: Case) -> int:
    facets = [case.facet_of(tag) for tag in case.tags if tag.start == tag.end]
    return sum(facet is not None and not facet.moments for facet in facets)


# --- words -----------------------------------------------------------------------------------------------


def _called(concept: Concept) -> str:
    return f"“{concept.label()}”"


def _enumerated(concepts: Iterable[Concept], word: str = "and") -> str:
    names = [_called(concept) for concept in concepts]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {word} {names[-1]}"


def _full_name(vocabulary: Vocabulary) -> str:
    return f"{vocabulary.name} {vocabulary.version}"


def _tags(count: int) -> str:
    return "1 tag" if count == 1 else f"{count} tags"
