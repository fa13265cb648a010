"""Words that look as if they tell who somebody is. A question to whoever wrote them, never a proof that they do not.

The kinds of identifiers are those of 45 CFR 164.514(b)(2)(i) that a line of text can hold: names, dates, numbers of
telephones, records and accounts, addresses of mail and the web, ages over 89. How they are written: common practice,
no source.
"""

import re

_MONTHS = (
    "jan(?:uary|uar)?|feb(?:ruary|ruar)?|mar(?:ch)?|märz|apr(?:il)?|may|mai|june?|juni|july?|juli|aug(?:ust)?|"
    "sep(?:t|tember)?|oct(?:ober)?|okt(?:ober)?|nov(?:ember)?|dec(?:ember)?|dez(?:ember)?"
)

_DATE = re.compile(
    r"(?<!\d)(?:\d{1,2}\s?[-./]\s?\d{1,2}\s?[-./]\s?\d{2,4}|\d{4}\s?[-./]\s?\d{1,2}\s?[-./]\s?\d{1,2})(?!\d)"
    rf"|(?<!\d)\d{{1,2}}(?:st|nd|rd|th)?\.?\s(?:of\s)?(?:{_MONTHS})\b"
    rf"|\b(?:{_MONTHS})\.?\s\d{{1,2}}(?:st|nd|rd|th)?(?!\d)",
    re.IGNORECASE,
)

_BIRTH = re.compile(r"\b(?:d\.?o\.?b\b|birth|birthday|born|geb(?:\.|oren|urtsdatum)?\b)", re.IGNORECASE)

_LONG_NUMBER = re.compile(r"\d{6,}|\d(?:[ ./-]?\d){6,}", re.ASCII)
"""Six digits in a row, or seven in groups: counts and measures are shorter, and a year with its month has six."""

_NUMBERED = re.compile(r"\b(?:mrn|ssn|nhs|patient|hospital|record|insurance|file)\s?(?:no|nr|number|id|#)?[.:# ]*\d")

_TITLE = re.compile(
    r"\b(?:mr|mrs|ms|miss|mister|dr|doctor|prof|professor|herr|herrn|frau|mme|madame|monsieur|sir|dame)\b\.?\s+"
    r"(?:[^\W\d_]\.\s*)*(?P<name>[^\W\d_][^\W\d_'’-]+)",
    re.IGNORECASE,
)

_MAIL_OR_WEB = re.compile(r"[^\s@]@[^\s@]|\bhttps?:|\bwww\.", re.IGNORECASE)

_GREAT_AGE = re.compile(r"\b(?:9\d|1[01]\d)(?:[ -]?(?:y(?:ears?|rs?)?|jahre?)\b|[ -]?jährig)", re.IGNORECASE)


def looks_like_identity(text: str) -> str:
    """Why a text looks as if it told who somebody is, as the end of a sentence about it; empty where it does not."""
    if _MAIL_OR_WEB.search(text):
        return "looks like an address"
    if _BIRTH.search(text) or _DATE.search(text):
        return "looks like a date with its day, or a date of birth"
    if _NUMBERED.search(text.lower()) or _LONG_NUMBER.search(text):
        return "looks like a number that belongs to somebody"
    if any(found["name"][0].isupper() for found in _TITLE.finditer(text)):
        return "looks like a name behind a title"
    if _GREAT_AGE.search(text):
        return "gives an age over 89, which few people have"
    return ""
