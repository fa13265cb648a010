"""The page loads nothing, runs nothing, tells nothing by colour alone, and says what it holds to every reader."""

import base64
import hashlib
import re
from html.parser import HTMLParser

import pytest
from msgspec.structs import replace

from annotator.measure.durations import summarise
from annotator.model.case import with_tags
from annotator.plain_text import one_line
from annotator.publish.report.phase_colours import PLAIN
from annotator.publish.report.summary_html import dumps, values
from tests.measure.cases import case, tag
from tests.publish.report_case import CORE_BEGINS, CORE_ENDS, HARMFUL, MODEL_EYE, harmful, saying_when

VOID = {"meta", "br", "img", "link", "input", "hr"}


class Page(HTMLParser):
    """Elements with their attributes and the text within, and whether every element is closed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[str, str]] = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, name: str, attributes: list[tuple[str, str | None]]) -> None:
        self.elements.append((name, dict(attributes)))
        if name not in VOID:
            self.open.append(name)

    def handle_startendtag(self, name: str, attributes: list[tuple[str, str | None]]) -> None:
        self.elements.append((name, dict(attributes)))

    def handle_endtag(self, name: str) -> None:
        assert self.open.pop() == name

    def handle_data(self, text: str) -> None:
        if text.strip():
            self.texts.append((self.open[-1] if self.open else "", text))

    def named(self, name: str) -> list[dict[str, str | None]]:
        return [attributes for element, attributes in self.elements if element == name]

    def said(self, name: str) -> list[str]:
        return [text for element, text in self.texts if element == name]


def page(text: str) -> Page:
    return Page(text)


@pytest.mark.parametrize("facet", ["step", "phase", "technique", "event"])
def test_it_loads_nothing_and_runs_nothing(facet: str) -> None:
    for one in (MODEL_EYE, harmful()):
        text = dumps(summarise(one, facet, by_performer=True), one)
        found = page(text)
        names = {name for name, _ in found.elements}
        assert not names & {"script", "img", "link", "iframe", "object", "embed", "image", "use", "a", "form"}
        attributes = {name for _, some in found.elements for name in some}
        assert not {
            name for name in attributes if name.startswith("on") or name in ("src", "href", "style", "xlink:href")
        }
        assert "url(" not in text
        assert "@import" not in text


def test_its_policy_allows_its_own_style_and_nothing_else() -> None:
    text = dumps(summarise(MODEL_EYE), MODEL_EYE)
    style = re.search("<style>(.*?)</style>", text, re.DOTALL)
    assert style
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    (policy,) = [one["content"] for one in page(text).named("meta") if one.get("http-equiv")]
    assert policy == f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


def test_names_are_text_whatever_they_look_like() -> None:
    one = harmful()
    text = dumps(summarise(one), one)
    said = page(text).said("bdi")
    assert {one_line(label) for label in HARMFUL} <= set(said)
    assert "{{ 7 * 7 }}" in said
    assert "<script" not in text


def test_a_reader_who_sees_no_picture_is_told() -> None:
    found = page(dumps(summarise(MODEL_EYE, by_performer=True), MODEL_EYE))
    pictures = [one for one in found.named("svg") if one.get("role") == "img"]
    assert [one["class"] for one in pictures] == ["wide", "narrow"], "of which a window shows one"
    ids = [attributes["id"] for name, attributes in found.elements if name in ("title", "desc") and "id" in attributes]
    assert " ".join(one["aria-labelledby"] or "" for one in pictures).split() == ids
    assert all(one.get("aria-hidden") == "true" for one in found.named("svg") if one not in pictures)
    assert len(found.said("caption")) == len(found.named("table")) == 4
    assert all(one.get("scope") in ("col", "row", "rowgroup") for one in found.named("th"))
    assert found.named("html")[0]["lang"] == "en"


def test_every_band_is_named_or_keyed_not_only_coloured() -> None:
    found = page(dumps(summarise(MODEL_EYE), MODEL_EYE))
    titles = found.said("title")
    assert "Core vitrectomy, 0:10 to 0:50" in titles
    assert "Bleeding, 0:30" in titles
    written = " ".join(found.said("text"))
    for name in ("A Access", "B Vitrectomy", "2 Core vitrectomy", "Bimanual", "Bleeding", "Pressure raised"):
        assert name in written
    keys = set(found.said("span"))
    assert {"A", "B", "C", "1", "2", "3", "4"} <= keys


def test_steps_stand_under_their_phases_with_the_rolled_up_figures() -> None:
    found = page(dumps(summarise(MODEL_EYE), MODEL_EYE))
    assert len(found.named("tbody")) == 3
    cells = found.said("td")
    assert "1:05" in cells, "vitrectomy: core and shaving together, the overlap counted once"


def test_it_says_when_a_step_begins_and_ends() -> None:
    one = saying_when(MODEL_EYE)
    found = page(dumps(summarise(one), one))
    assert "When each begins and ends" in found.said("h2")
    assert {f"Begins: {CORE_BEGINS}", f"Ends: {CORE_ENDS}"} <= set(found.said("bdi"))
    assert "When each begins and ends" not in page(dumps(summarise(MODEL_EYE), MODEL_EYE)).said("h2")


def test_the_quiet_reminder_and_what_the_figures_rest_on() -> None:
    running = case(tag("core", 50_000, None))
    found = page(dumps(summarise(running), running))
    assert "Not a clinical record" in found.said("footer")[0]
    assert any("is still running" in text for text in found.said("li"))


def test_a_step_of_any_phase_stands_alone_where_its_own_phase_has_no_time() -> None:
    made = case(tag("core", 0, 50_000), tag("removal", 20_000, 30_000))
    free = [replace(one, any_phase=one.notation == "removal") for one in made.vocabulary.concepts]
    made = replace(made, vocabulary=replace(made.vocabulary, concepts=tuple(free)))
    said = page(dumps(summarise(made), made)).said("bdi")
    assert "Port removal" in said
    assert "Closure" not in said, "it counts for the vitrectomy in which it lies"
    fills = values(summarise(made), made, "en")["fills"]
    assert fills["removal"] == fills["core"] != PLAIN.fill
    again = with_tags(made, [tag("ports", 60_000, 70_000), tag("removal", 70_000, 80_000)])
    assert values(summarise(again), again, "en")["fills"]["removal"] == PLAIN.fill, "it lies in two phases"


def test_a_case_without_tags_has_a_page_too() -> None:
    found = page(dumps(summarise(case()), case()))
    assert "0:00 " in found.said("dd")


def test_it_is_legible_in_print_and_in_the_dark() -> None:
    text = dumps(summarise(MODEL_EYE), MODEL_EYE)
    assert "@media print" in text
    assert "prefers-color-scheme: dark" in text
