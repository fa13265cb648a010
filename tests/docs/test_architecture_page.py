"""What the page on the architecture names is there, and its picture shows the rooms as they are."""

import ast
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from docs.drawing import rooms

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "architecture.md").read_text(encoding="utf-8")
PARENTS = ("annotator", "annotator.desktop", "annotator.media", "annotator.formats", "annotator.publish")
KNOWN = {path.stem for parent in PARENTS for path in (ROOT / parent.replace(".", "/")).iterdir()}

NAMED = sorted(
    {
        name.removeprefix("annotator.")
        for name in re.findall(r"`([a-z_]+(?:\.\w+)+)`", PAGE)
        if name.split(".")[0] in KNOWN | {"annotator"} and not name.endswith((".md", ".toml"))
    }
)


def is_there(name: str) -> bool:
    """Whether a dotted name is a module of the program or something in one, seen from the program or a room of it."""
    parts = name.split(".")
    for parent in PARENTS:
        path = ROOT / parent.replace(".", "/")
        for number, part in enumerate(parts):
            path /= part
            if path.with_suffix(".py").is_file():
                return set(parts[number + 1 :]) <= names_in(path.with_suffix(".py"))
        if path.is_dir():
            return True
    return False


def names_in(module: Path) -> set[str]:
    """Of its classes, functions and values, and of what stands in the classes."""
    found = set[str]()
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ClassDef | ast.FunctionDef):
            found.add(node.name)
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            found.add(node.id)
    return found


@pytest.mark.parametrize("name", NAMED)
def test_what_is_named_is_there(name: str) -> None:
    assert is_there(name), f"docs/architecture.md names {name}, which is not in the program"


def test_a_name_that_is_not_there_is_noticed() -> None:
    assert len(NAMED) > 30
    assert not is_there("store.session.Session.undone")
    assert not is_there("media.nowhere")


def test_each_folder_that_is_named_is_there() -> None:
    there = {path.name for parent in PARENTS for path in (ROOT / parent.replace(".", "/")).iterdir() if path.is_dir()}
    named = set(re.findall(r"`([a-z_]+)/`", PAGE))
    assert named
    assert named <= there


def test_the_picture_shows_the_rooms_as_they_are() -> None:
    kept = (ROOT / "docs" / "pictures" / "rooms.svg").read_text(encoding="utf-8")
    assert kept == rooms.dumps(), "`make pictures` draws it anew"


def test_nothing_of_the_picture_lies_beyond_its_edges() -> None:
    drawn = ElementTree.fromstring(rooms.dumps())
    _, _, width, height = map(float, drawn.attrib["viewBox"].split())
    boxes = [one.attrib for one in drawn.iter() if one.attrib.get("class") == "box"]
    assert boxes
    for box in boxes:
        assert 0 <= float(box["x"]) <= width - float(box["width"])
        assert 0 <= float(box["y"]) <= height - float(box["height"])


@pytest.mark.parametrize("parent", ["annotator", "annotator.desktop"])
def test_each_room_stands_above_those_that_it_imports_and_a_way_leads_to_each(parent: str) -> None:
    found = rooms.rooms_of(parent)
    height = {name: -down for down, row in enumerate(rooms.levels(found)) for name in row}
    ways: dict[str, set[str]] = {name: set() for name in found}
    for upper, lower in rooms.lines(found):
        ways[upper].add(lower)

    def reached(name: str) -> set[str]:
        return set().union(*({other} | reached(other) for other in ways[name]))

    for name, room in found.items():
        assert all(height[other] < height[name] for other in room.imports)
        assert room.imports <= reached(name)
