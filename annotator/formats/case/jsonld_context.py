"""The JSON-LD context of a case file: that of Web Annotation, and one for the keys that it does not have.

Web Annotation Vocabulary, W3C Recommendation of 23 February 2017, https://www.w3.org/TR/annotation-vocab/ .
"""

from typing import Any

ANNOTATION = "http://www.w3.org/ns/anno.jsonld"
"""A document must name this very address to be a Web Annotation (Web Annotation Data Model, section 3.1)."""

TERMS = "https://surgical-step-annotator.example/terms#"
"""Namespace of our own terms; a name that is never looked up (RFC 2606 keeps `.example` free)."""

_SKOS = "http://www.w3.org/2004/02/skos/core#"
_DCTERMS = "http://purl.org/dc/terms/"


def _own(*names: str) -> dict[str, str]:
    return {name: f"{TERMS}{name}" for name in names}


OWN: dict[str, Any] = {
    **_own("schemaName", "schemaVersion", "revision", "eye", "kind"),
    "blindTo": {"@id": f"{TERMS}blindTo", "@type": "@id"},
    "done": f"{TERMS}done",
    "recordings": {"@id": f"{TERMS}recordings", "@container": "@list"},
    **_own("path", "fingerprint", "durationMs", "frameRate", "width", "height", "altered", "picture"),
    **_own("performer", "certainty", "place", "words", "strength", "confirmed", "moment"),
    "roles": {"@id": f"{TERMS}roles", "@container": "@list"},
    "code": f"{_SKOS}notation",
    "facts": {"@id": f"{TERMS}facts", "@container": "@list"},
    "fact": f"{TERMS}fact",
    "vocabulary": f"{TERMS}vocabulary",
    "ConceptScheme": f"{_SKOS}ConceptScheme",
    "Collection": f"{_SKOS}Collection",
    "Concept": f"{_SKOS}Concept",
    "title": {"@id": f"{_DCTERMS}title", "@container": "@language"},
    "version": "http://www.w3.org/2002/07/owl#versionInfo",
    "facets": {"@id": f"{TERMS}facets", "@container": "@list"},
    **_own("exclusive", "moments"),
    "concepts": {"@reverse": f"{_SKOS}inScheme"},
    "notation": f"{_SKOS}notation",
    "facet": {"@reverse": f"{_SKOS}member", "@type": "@id"},
    **_own("key", "inside"),
    "prefLabel": {"@id": f"{_SKOS}prefLabel", "@container": "@language"},
    "altLabel": {"@id": f"{_SKOS}altLabel", "@container": "@language"},
    "definition": {"@id": f"{_SKOS}definition", "@container": "@language"},
    "scopeNote": {"@id": f"{_SKOS}scopeNote", "@container": "@language"},
    "broader": {"@id": f"{_SKOS}broader", "@type": "@id"},
    "usuallyAfter": {"@id": f"{TERMS}usuallyAfter", "@type": "@id"},
    "replaces": {"@id": f"{_DCTERMS}replaces", "@type": "@id"},
    "kinds": {"@id": f"{TERMS}kinds", "@container": "@list"},
    **_own("Kind"),
    "forKinds": {"@id": f"{TERMS}forKinds", "@type": "@id"},
    "beginsWhen": {"@id": f"{TERMS}beginsWhen", "@container": "@language"},
    "endsWhen": {"@id": f"{TERMS}endsWhen", "@container": "@language"},
    **_own("anyPhase", "operatingTime", "usualTimeLeast", "usualTimeMost", "usualPlace", "changesPerformer"),
    **{key: {"@id": f"{TERMS}{key}", "@type": "@id"} for key in ("needsBefore", "neverWith", "expectedWith")},
}
"""Makes triples of every key of a case file that Web Annotation does not define."""

CONTEXT: list[Any] = [ANNOTATION, OWN]
