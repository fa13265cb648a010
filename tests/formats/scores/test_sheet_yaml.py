"""Score sheets as YAML: the built-in one, and every fault with its line."""

import pytest

from annotator.errors import InvalidFile
from annotator.formats.scores import sheet_yaml
from annotator.store.scores import find_sheet

SHEET = """code: ours
prefLabel: {en: Ours}
source: made up for a test
raters:
  - {code: self, prefLabel: {en: Self}}
items:
  - code: view
    prefLabel: {en: View}
    levels:
      - {score: 1, anchor: {en: lost}}
      - {score: 2, anchor: {en: kept}}
  - code: order
    prefLabel: {en: Order}
    levels:
      - {score: 1, anchor: {en: mixed}}
      - {score: 2, anchor: {en: in a row}}
"""


def test_a_sheet_has_its_raters_and_items_with_the_words_of_each_level() -> None:
    sheet = sheet_yaml.loads(SHEET)
    assert [rater.code for rater in sheet.raters] == ["self"]
    assert [(level.score, level.anchor["en"]) for level in sheet.item("View").levels] == [(1, "lost"), (2, "kept")]
    assert sheet.source == "made up for a test"


def test_the_built_in_sheet_is_sound_and_every_level_has_its_words() -> None:
    sheet = find_sheet()
    assert [rater.code for rater in sheet.raters][:2] == ["self", "mentor"]
    assert all(level.anchor["en"] for item in sheet.items for level in item.levels)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("source: made up for a test\n", "", "a score sheet needs “source”"),
        ("code: order", "code: view", "line 12: “view” is listed twice"),
        ("code: order", "code: View", "means “view” already"),
        ("score: 2, anchor: {en: in a row}", "score: 5, anchor: {en: in a row}", "is scored 1 to 5 and the first item"),
        ("score: 2, anchor: {en: kept}", "score: 1, anchor: {en: kept}", "each with a higher score"),
        ("score: 1, anchor: {en: lost}", "score: low, anchor: {en: lost}", "“low” is not a whole number"),
        ("anchor: {en: lost}", "words: {en: lost}", "a level has no “words”"),
        ("raters:\n  - {code: self, prefLabel: {en: Self}}", "raters: []", "there are no raters"),
        (SHEET, "5", "a score sheet is written as"),
    ],
)
def test_a_fault_is_told(old: str, new: str, says: str) -> None:
    assert old in SHEET
    with pytest.raises(InvalidFile) as refused:
        sheet_yaml.loads(SHEET.replace(old, new, 1))
    assert says in str(refused.value)
