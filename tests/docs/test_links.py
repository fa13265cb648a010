"""Every link of the documents leads somewhere in the project: to a file, and to a heading where one is named."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
DOCUMENTS = [*sorted(ROOT.glob("*.md")), *sorted((ROOT / "docs").glob("*.md"))]
LINK = re.compile(r"\]\((?!https?:)([^)\s#]*)(?:#([^)\s]+))?\)")


def headings(document: Path) -> set[str]:
    """Anchors as GitHub makes them (common practice, no source): small letters, hyphens for blanks, no other signs."""
    found = re.findall(r"^#+ (.+)$", document.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in found}


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_links_lead_somewhere(document: Path) -> None:
    for target, anchor in LINK.findall(document.read_text(encoding="utf-8")):
        led_to = (document.parent / target) if target else document
        assert led_to.exists(), f"{document.name} shows or links {target}, which is not there"
        if anchor:
            assert anchor in headings(led_to), f"{document.name} links #{anchor} of {led_to.name}"
