"""A small vocabulary and cases of a few tags, written so that the figures can be worked out by hand."""

from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Bound, Concept, Facet, Vocabulary

IRI = "https://surgical-step-annotator.example/vocab/tests"

FACETS = (
    Facet("phase", {"en": "Phase", "de": "Phase"}, exclusive=True),
    Facet("step", {"en": "Step", "de": "Schritt"}, exclusive=True),
    Facet("technique", {"en": "Technique"}),
    Facet("event", {"en": "Event"}, moments=True),
)

CONCEPTS = (
    ("access", "phase", None, "Access"),
    ("vitrectomy", "phase", None, "Vitrectomy"),
    ("closure", "phase", None, "Closure"),
    ("ports", "step", "access", "Port placement"),
    ("infusion", "step", "access", "Infusion check"),
    ("core", "step", "vitrectomy", "Core vitrectomy"),
    ("shave", "step", "vitrectomy", "Base shaving"),
    ("removal", "step", "closure", "Port removal"),
    ("bimanual", "technique", None, "Bimanual"),
    ("lift", "technique", None, "Lift and shave"),
    ("cutter", "technique", None, "With the cutter"),
    ("bleeding", "event", None, "Bleeding"),
    ("pressure", "event", None, "Pressure raised"),
)


BOUNDS = {"ports": Bound.BEGINS, "closure": Bound.ENDS}
"""By the phase it ends, so that a step under it ends the operation too."""


def vocabulary() -> Vocabulary:
    concepts = tuple(
        Concept(
            f"{IRI}#{notation}",
            notation,
            facet,
            labels,
            broader=broader,
            usually_after=after,
            operating_time=BOUNDS.get(notation),
        )
        for notation, facet, broader, label in CONCEPTS
        for labels in [{"en": label} | ({"de": "Kernvitrektomie"} if notation == "core" else {})]
        for after in [("core",) if notation == "shave" else ()]
    )
    return Vocabulary(IRI, "tests", "1", {"en": "For tests"}, FACETS, concepts)


def tag(notation: str, start: Ms, end: Ms | None, number: int = 0, performer: str | None = None) -> Tag:
    return Tag(f"urn:test:{notation}:{start}:{end}:{number}", f"{IRI}#{notation}", start, end, performer=performer)


def case(*tags: Tag, duration: Ms = 100_000) -> Case:
    recordings = (Recording("urn:test:recording", "model-eye.mp4", "", duration),)
    return Case("urn:test:case", "Model eye", vocabulary(), recordings, in_order(list(tags)))
