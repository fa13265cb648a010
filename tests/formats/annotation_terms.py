"""The terms of `http://www.w3.org/ns/anno.jsonld` that a case file uses, so that tests need no network.

Written from the Web Annotation Vocabulary, W3C Recommendation of 23 February 2017,
https://www.w3.org/TR/annotation-vocab/ (the classes, properties and named individuals, each with its IRI), and the
Web Annotation Data Model of the same day, https://www.w3.org/TR/annotation-model/ (how each is called in JSON).
"""

from typing import Any

_OA = "http://www.w3.org/ns/oa#"
_AS = "http://www.w3.org/ns/activitystreams#"
_DCTERMS = "http://purl.org/dc/terms/"
_FOAF = "http://xmlns.com/foaf/0.1/"
_XSD = "http://www.w3.org/2001/XMLSchema#"


def _link(iri: str, kind: str = "@id") -> dict[str, str]:
    return {"@id": iri, "@type": kind}


ANNOTATION_TERMS: dict[str, Any] = {
    "id": "@id",
    "type": "@type",
    # classes
    "Annotation": f"{_OA}Annotation",
    "SpecificResource": f"{_OA}SpecificResource",
    "FragmentSelector": f"{_OA}FragmentSelector",
    "TextualBody": f"{_OA}TextualBody",
    "AnnotationCollection": f"{_AS}OrderedCollection",
    "AnnotationPage": f"{_AS}OrderedCollectionPage",
    "Person": f"{_FOAF}Person",
    "Video": "http://purl.org/dc/dcmitype/MovingImage",
    # what an annotation links to
    "body": _link(f"{_OA}hasBody"),
    "target": _link(f"{_OA}hasTarget"),
    "source": _link(f"{_OA}hasSource"),
    "selector": _link(f"{_OA}hasSelector"),
    "conformsTo": _link(f"{_DCTERMS}conformsTo"),
    "creator": _link(f"{_DCTERMS}creator"),
    "motivation": _link(f"{_OA}motivatedBy", "@vocab"),
    "purpose": _link(f"{_OA}hasPurpose", "@vocab"),
    "classifying": f"{_OA}classifying",
    "commenting": f"{_OA}commenting",
    # pages
    "items": _link(f"{_AS}items") | {"@container": "@list"},
    "partOf": _link(f"{_AS}partOf"),
    "first": _link(f"{_AS}first"),
    "last": _link(f"{_AS}last"),
    "total": _link(f"{_AS}totalItems", f"{_XSD}nonNegativeInteger"),
    "startIndex": _link(f"{_AS}startIndex", f"{_XSD}nonNegativeInteger"),
    # what is said in words
    "value": "http://www.w3.org/1999/02/22-rdf-syntax-ns#value",
    "format": "http://purl.org/dc/elements/1.1/format",
    "label": "http://www.w3.org/2000/01/rdf-schema#label",
    "name": f"{_FOAF}name",
    "created": _link(f"{_DCTERMS}created", f"{_XSD}dateTime"),
    "modified": _link(f"{_DCTERMS}modified", f"{_XSD}dateTime"),
}

# All other names of that context, which our own may not give another meaning.
_OTHER_NAMES = """
    oa dc dcterms dctypes foaf rdf rdfs skos xsd iana owl as schema
    Dataset Image Audio Text ResourceSelection CssSelector XPathSelector TextQuoteSelector TextPositionSelector
    DataPositionSelector SvgSelector RangeSelector TimeState HttpRequestState CssStylesheet Choice Software Organization
    Audience Motivation bookmarking describing editing highlighting identifying linking moderating questioning replying
    reviewing assessing tagging auto ltr rtl state scope refinedBy startSelector endSelector renderedVia generator
    rights homepage via canonical stylesheet cached next prev audience textDirection accessibility bodyValue language
    processingLanguage exact prefix suffix styleClass email email_sha1 nickname generated sourceDate sourceDateStart
    sourceDateEnd start end
"""
RESERVED = frozenset(ANNOTATION_TERMS) | frozenset(_OTHER_NAMES.split())
