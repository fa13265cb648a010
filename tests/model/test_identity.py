"""Words that look as if they told who somebody is are noticed, and those of the trade are not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.model.identity import looks_like_identity


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("seen 3.4.1951", "a date"),
        ("seen 03/04/51", "a date"),
        ("1951-04-03", "a date"),
        ("on 3 April", "a date"),
        ("April 3rd, 1951", "a date"),
        ("am 3. März", "a date"),
        ("DOB unknown", "a date"),
        ("born in Spring", "a date"),
        ("geb. 1951", "a date"),
        ("MRN 4711", "a number"),
        ("patient no. 12", "a number"),
        ("471123", "a number"),
        ("call 030 123 45 67", "a number"),
        ("Mrs. Example", "a name"),
        ("operated by dr Example", "a name"),
        ("Prof. A. B. Example", "a name"),
        ("Frau Muster", "a name"),
        ("x@y.example", "an address"),
        ("see https://x.example", "an address"),
        ("a 93-year-old", "over 89"),
        ("94 years", "over 89"),
    ],
)
def test_it_is_noticed(text: str, why: str) -> None:
    assert why in looks_like_identity(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "PVR C2, two breaks at 10 and 11 o’clock",
        "1000 cSt oil, exchanged for 5000 cSt",
        "20 % SF6",
        "2026-11",
        "25/27 gauge hybrid",
        "500 ms later",
        "miss no break",
        "may be repeated",
        "hole of 450 µm, stage 3",
        "visual acuity 6/60",
        "axial length 23.45 mm",
        "sutured sclerotomies 3/3",
        "the 60 year old implant",
        "lattice from 5-7 o’clock",
    ],
)
def test_words_of_the_trade_are_not(text: str) -> None:
    assert looks_like_identity(text) == ""


@given(st.text(max_size=300))
def test_any_text_is_judged(text: str) -> None:
    assert isinstance(looks_like_identity(text), str)
