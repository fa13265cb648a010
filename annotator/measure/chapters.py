"""Tags as chapters: what a chapter file can hold, and a sentence for each tag that it can't. See docs/chapters.md.

A chapter file holds titled ranges that lie beside or inside one another (W3C WebVTT, "file using only
nested cues"). Nothing is trimmed quietly: what is left out, split, or made one with another is said.
"""

from collections.abc import Iterable, Sequence

import msgspec

from annotator.measure import chapter_tree as tree
from annotator.measure.chapter_notes import Remark, Remarks
from annotator.measure.chapter_tree import Node
from annotator.measure.rollup import Range, is_free, runs
from annotator.model.case import Case, Tag
from annotator.model.timecode import Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept, Vocabulary


class Chapter(msgspec.Struct, frozen=True):
    """A titled range; `level` counts from 1 for those that lie inside no other."""

    start: Ms
    end: Ms
    title: str
    level: int
    notation: str


class ChapterPlan(msgspec.Struct, frozen=True):
    """Chapters in order of time, the containing before the contained, and what is to be said about them."""

    chapters: tuple[Chapter, ...]
    remarks: tuple[Remark, ...]

    @property
    def notes(self) -> tuple[str, ...]:
        """The remarks as sentences."""
        return tuple(remark.says for remark in self.remarks)

    @property
    def left_out(self) -> tuple[Remark, ...]:
        """The tags that are in no chapter, each with the reason."""
        return tuple(remark for remark in self.remarks if remark.kind in ("overlap", "moment", "outside"))

    @property
    def splits(self) -> tuple[Remark, ...]:
        """The tags that became more than one chapter."""
        return tuple(remark for remark in self.remarks if remark.kind == "split")


def plan(
    case: Case,
    facet: str = "step",
    language: str = DEFAULT_LANGUAGE,
    nested: bool = False,
    fill: bool = False,
) -> ChapterPlan:
    """Chapters of one facet, or nested through several (see `levels`). Raises UnknownName for an unknown facet."""
    names = levels(case.vocabulary, facet) if nested else (case.vocabulary.facet(facet).name,)
    remarks = Remarks(case, language)
    layers, without_facet = _layers(case, names, language, remarks)
    for at, layer in enumerate(layers):
        layers[at], clashes = tree.fit(layer, nested)
        remarks.overlaps(clashes)
    if nested:
        _imply(case.vocabulary, names, layers, language)
        _nest(layers, sum(case.vocabulary.facet(name).exclusive for name in names), fill, remarks)
    nodes = [node for layer in layers for node in layer]
    tops = tree.trees([*nodes, *_fitting(without_facet, nodes, nested, remarks)])
    if fill and not nested:
        remarks.filled(tree.fill(tops))
    for _, node in tree.walk(tops):
        remarks.folded(node, tree.fold(node))
    chapters = tuple(
        Chapter(node.start, node.end, tree.full_title(node), depth, node.notation) for depth, node in tree.walk(tops)
    )
    remarks.about_all(bool(chapters), names)
    return ChapterPlan(chapters, remarks.in_order())


def levels(vocabulary: Vocabulary, facet: str = "step") -> tuple[str, ...]:
    """The facets of nested chapters, outermost first.

    The exclusive facets in the vocabulary's order, then the one non-exclusive facet that follows the
    last of them; a `facet` asked for that is not among these takes the last one's place.
    """
    asked = vocabulary.facet(facet).name
    exclusive = [at for at, one in enumerate(vocabulary.facets) if one.exclusive]
    after = exclusive[-1] + 1 if exclusive else 0
    names = [vocabulary.facets[at].name for at in exclusive]
    detail = [one.name for one in vocabulary.facets[after : after + 1]]
    return (*names, *(detail if asked in (*names, *detail) else [asked]))


def _layers(case: Case, names: Sequence[str], language: str, remarks: Remarks) -> tuple[list[list[Node]], list[Node]]:
    """The nodes of each level, and those of terms that the vocabulary does not know and so have no facet."""
    layers: list[list[Node]] = [[] for _ in names]
    without_facet: list[Node] = []
    place = {concept.iri: at for at, concept in enumerate(case.vocabulary.concepts)}
    for tag in case.tags:
        concept = case.concept_of(tag)
        if concept is not None and concept.facet not in names:
            continue
        start, end = max(tag.start, 0), min(case.range_of(tag).end, case.duration)
        remarks.about_tag(tag, concept)
        if tag.end == tag.start or end <= start:
            continue
        level = names.index(concept.facet) if concept else len(names)
        node = Node(start, end, *_names(tag, concept, language), tag.id, level, place.get(tag.concept, len(place)))
        (layers[level] if concept else without_facet).append(node)
    return layers, without_facet


def _names(tag: Tag, concept: Concept | None, language: str) -> tuple[str, str]:
    """Title and notation; an unknown term gives the part of its IRI behind `#`, or all of it."""
    if concept is not None:
        return concept.label(language), concept.notation
    term = tag.concept.rpartition("#")[2] or tag.concept
    return term, term


def _imply(vocabulary: Vocabulary, names: Sequence[str], layers: list[list[Node]], language: str) -> None:
    """Fill empty levels from the one below: a run of neighbours under one broader concept lies in a chapter of it."""
    for level in range(len(names) - 2, -1, -1):
        if not layers[level]:
            layers[level] = _runs(vocabulary, names[level], level, layers[level + 1], language)


def _runs(vocabulary: Vocabulary, facet: str, level: int, below: Iterable[Node], language: str) -> list[Node]:
    found = runs(_range(vocabulary, node, facet) for node in tree.trees(below))
    return [Node(start, end, broader.label(language), broader.notation, "", level, 0) for start, end, broader in found]


def _range(vocabulary: Vocabulary, node: Node, facet: str) -> Range:
    concept = vocabulary.by_notation[node.notation]
    broader = next(iter(vocabulary.lineage(concept, facet)), None)
    return Range(node.start, node.end, broader, is_free(vocabulary, concept, facet))


def _nest(layers: list[list[Node]], solid: int, fill: bool, remarks: Remarks) -> None:
    """Cut each level where those above it start or end, so that everything lies inside or outside.

    The first `solid` levels are of exclusive facets: only between these a gap is closed, because a
    technique or an event says nothing about the time after it.
    """
    above: list[Node] = []
    for at, layer in enumerate(layers):
        if at == solid and fill:
            remarks.filled(tree.fill(tree.trees(above)))
        borders = sorted({edge for node in above for edge in node.range})
        parts = [(node, tree.cut(node, borders)) for node in layer]
        remarks.splits([(node, pieces) for node, pieces in parts if len(pieces) > 1], above)
        layers[at] = [piece for _, pieces in parts for piece in pieces]
        above.extend(layers[at])
    if len(layers) == solid and fill:
        remarks.filled(tree.fill(tree.trees(above)))


def _fitting(unknown: Iterable[Node], nodes: Sequence[Node], nested: bool, remarks: Remarks) -> list[Node]:
    """Those nodes of unknown terms that leave all others in place."""
    kept: list[Node] = []
    for node in tree.in_order(unknown):
        clash = next((one for one in (*nodes, *kept) if _clash(node, one, nested)), None)
        if clash is None:
            kept.append(node)
        else:
            remarks.overlaps([(node, clash)])
    return kept


def _clash(one: Node, other: Node, nested: bool) -> bool:
    return one.range.crosses(other.range) if nested else one.range.overlaps(other.range)
