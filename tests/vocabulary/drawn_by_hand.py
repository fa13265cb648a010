"""Small vocabularies and cases, written out, for examples."""

from collections.abc import Sequence
from typing import Any

from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.model.vocabulary import Concept, Facet, Vocabulary

IRI = "https://department.example/vocab/ours"
PHASE = Facet("phase", {"en": "Phase"}, exclusive=True)
STEP = Facet("step", {"en": "Step"}, exclusive=True)
TECHNIQUE = Facet("technique", {"en": "Technique"})
EVENT = Facet("event", {"en": "Event"}, moments=True)


def concept(notation: str, facet: str = "step", label: str = "", **more: Any) -> Concept:
    """A concept called as its notation, unless it has another label; a step says when it begins and ends."""
    if facet == "step":
        more = {"begins_when": {"en": "It is there."}, "ends_when": {"en": "It is gone."}} | more
    more.setdefault("iri", f"{IRI}#{notation}")
    return Concept(notation=notation, facet=facet, pref_label={"en": label or notation.capitalize()}, **more)


def vocabulary(*concepts: Concept, version: str = "1", **more: Any) -> Vocabulary:
    """A vocabulary of these concepts in four facets."""
    more.setdefault("facets", (PHASE, STEP, TECHNIQUE, EVENT))
    return Vocabulary(IRI, "ours", version, {"en": "Ours"}, concepts=concepts, **more)


def case(used: Vocabulary, tags: Sequence[tuple[str, int, int | None]], **more: Any) -> Case:
    """A case of one minute; tags are notation (or a whole IRI), start, end."""
    made = [
        Tag(f"urn:example:tag:{place}", term if ":" in term else f"{IRI}#{term}", start, end, **more)
        for place, (term, start, end) in enumerate(tags)
    ]
    recording = Recording("urn:example:recording", "wet-lab.mp4", "", 60_000)
    return Case("urn:example:case", "Invented", used, (recording,), tuple(made))
