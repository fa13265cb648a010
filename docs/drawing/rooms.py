"""`python -m docs.drawing.rooms FILE`: the picture of the rooms, drawn from what the modules really import.

A room stands above all that it imports. A line leads from it to each room that it imports and that none of the others
it imports leads to already, so that few lines say all.
"""

import sys
from collections.abc import Collection, Iterable, Mapping
from html import escape
from pathlib import Path
from textwrap import wrap
from typing import Final, NamedTuple

import grimp

from annotator.store.atomic import write_atomically

_ROOT: Final = Path(__file__).resolve().parents[2]
_WIDTH: Final = 1360
_BOX: Final = (168, 86)
_STEP: Final = (190, 124)
"""From one box to the next, across and down."""

_HEAD: Final = 60
_BESIDE: Final = 9
"""Pixels at which a line passes a box that it does not lead to."""

_LETTERS: Final = 26
"""Of the small type, that fit into a line of a box."""

_LOOSE: Final = {
    "annotator": ("errors, parts …", "What every room needs: faults, files that are whole or not there."),
    "annotator.desktop": ("app, window …", "The start, the page that is shown, who carries out what."),
}
"""The files that stand in no folder, as one room: its name, and what is there."""

_Corner = tuple[float, float]
_STYLE: Final = """
    svg { background: #ffffff; font-family: system-ui, "Segoe UI", "DejaVu Sans", sans-serif; }
    .ground { fill: #ffffff; } .head { fill: #17212b; font-size: 17px; font-weight: 600; }
    .box { fill: #eef3f7; stroke: #7d8c99; } .name { fill: #17212b; font-size: 14px; font-weight: 600; }
    .what { fill: #3d4b57; font-size: 10.5px; } .line { fill: none; stroke: #7d8c99; stroke-width: 1.3; }
    @media (prefers-color-scheme: dark) {
      svg { background: #11181f; } .ground { fill: #11181f; } .head, .name { fill: #eef3f7; }
      .box { fill: #1e2a35; stroke: #7d8c99; } .what { fill: #c0ccd6; } .line { stroke: #8fa0ae; }
    }
"""


class Room(NamedTuple):
    """A folder of modules, or the files that stand in none."""

    name: str
    what: str
    imports: frozenset[str]


def rooms_of(parent: str) -> dict[str, Room]:
    """The rooms right below a package, by name, with the others of them that each imports."""
    graph = grimp.build_graph("annotator", cache_dir=None)
    children = sorted(one for one in graph.find_children(parent) if not one.endswith("__main__"))
    folder_of = {one: one for one in children if graph.find_children(one)}
    loose = [one for one in children if one not in folder_of]
    room_of = folder_of | dict.fromkeys(loose, parent)
    imports: dict[str, set[str]] = {}
    for one in children:
        inside = {one, *graph.find_descendants(one)}
        wanted = {other for module in inside for other in graph.find_modules_directly_imported_by(module)}
        found = {room_of[child] for child in children for other in wanted if (other + ".").startswith(child + ".")}
        imports.setdefault(room_of[one], set()).update(found - {room_of[one]})
    return {room: Room(*_told(room, parent), frozenset(others)) for room, others in imports.items()}


def _told(room: str, parent: str) -> tuple[str, str]:
    """A room's name, and the first sentence of what it says of itself."""
    if room == parent:
        return _LOOSE[parent]
    says = (_ROOT / room.replace(".", "/") / "__init__.py").read_text(encoding="utf-8").split('"""')[1]
    return room.rpartition(".")[2], says.replace("`", "").split(". ")[0].split("; ")[0].strip().removesuffix(".") + "."


def levels(rooms: Mapping[str, Room]) -> list[list[str]]:
    """The rooms from the top down, each above all that it imports and as low as that allows."""
    height: dict[str, int] = {}

    def height_of(name: str) -> int:
        if name not in height:
            height[name] = max((height_of(other) + 1 for other in rooms[name].imports), default=0)
        return height[name]

    for name in rooms:
        height_of(name)
    return [[name for name in rooms if height[name] == at] for at in range(max(height.values()), -1, -1)]


def lines(rooms: Mapping[str, Room]) -> list[tuple[str, str]]:
    """From room to room, without those that a way over other rooms says already."""

    def reached(name: str) -> set[str]:
        return set().union(*({other} | reached(other) for other in rooms[name].imports))

    return [
        (name, other)
        for name, room in rooms.items()
        for other in sorted(room.imports)
        if not any(other in reached(between) for between in room.imports - {other})
    ]


def dumps() -> str:
    """The picture as SVG: the rooms of the program, and below those of its desktop."""
    height, body = 0, list[str]()
    for head, parent in (("The program", "annotator"), ("Its desktop", "annotator.desktop")):
        rooms = rooms_of(parent)
        body += _figure(head, rooms, top=height)
        height += _HEAD + _STEP[1] * len(levels(rooms))
    drawn = "\n".join(f"  {one}" for one in body)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {height}" role="img" '
        f'aria-label="The rooms of the program, each above those that it imports">\n'
        f'  <style>{_STYLE}  </style>\n  <rect class="ground" width="{_WIDTH}" height="{height}"/>\n{drawn}\n</svg>\n'
    )


def _figure(head: str, rooms: Mapping[str, Room], top: int) -> Iterable[str]:
    places = dict(_places(levels(rooms), top + _HEAD))
    yield f'<text class="head" x="20" y="{top + 36}">{escape(head)}</text>'
    for upper, lower in lines(rooms):
        yield _line(places[upper], places[lower], places.values())
    for name, room in rooms.items():
        yield from _box(room, *places[name])


def _places(rows: list[list[str]], top: int) -> Iterable[tuple[str, _Corner]]:
    """The upper left corner of each box; a row stands in the middle."""
    for down, row in enumerate(rows):
        begin = (_WIDTH - len(row) * _STEP[0] + _STEP[0] - _BOX[0]) / 2
        for across, name in enumerate(row):
            yield name, (begin + across * _STEP[0], top + down * _STEP[1])


def _line(upper: _Corner, lower: _Corner, boxes: Collection[_Corner]) -> str:
    """From the foot of one box to the head of another, beside those between them."""
    x, y = upper[0] + _BOX[0] / 2, upper[1] + _BOX[1]
    end = lower[0] + _BOX[0] / 2
    drawn = f"M{x:g} {y:g}"
    bend = (_STEP[1] - _BOX[1]) * 0.6
    while y < lower[1]:
        head = y + _STEP[1] - _BOX[1]
        is_last = head >= lower[1]
        between = [box for box in boxes if box[1] == head]
        aim = end if is_last else _free(x + (end - x) * _STEP[1] / (lower[1] - y), between)
        drawn += f" C{x:g} {y + bend:g} {aim:g} {head - bend:g} {aim:g} {head:g}"
        x, y = aim, head + _BOX[1]
        drawn += "" if is_last else f" V{y:g}"
    return f'<path class="line" d="{drawn}"/>'


def _free(x: float, row: Iterable[_Corner]) -> float:
    """The place nearest to `x` at which a line passes all boxes of a row."""
    taken = [(left - _BESIDE, left + _BOX[0] + _BESIDE) for left, _ in row]
    if not any(left < x < right for left, right in taken):
        return x
    return min((edge for both in taken for edge in both), key=lambda edge: abs(edge - x))


def _box(room: Room, x: float, y: float) -> Iterable[str]:
    yield f'<rect class="box" x="{x:g}" y="{y:g}" width="{_BOX[0]}" height="{_BOX[1]}" rx="6"/>'
    yield f'<text class="name" x="{x + 10:g}" y="{y + 21:g}">{escape(room.name)}</text>'
    for number, words in enumerate(wrap(room.what, _LETTERS)[:4]):
        yield f'<text class="what" x="{x + 10:g}" y="{y + 38 + 13 * number:g}">{escape(words)}</text>'


if __name__ == "__main__":
    write_atomically(Path(sys.argv[1]), dumps().encode())
