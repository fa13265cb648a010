"""Ranges that lie beside or inside one another, as chapter files ask for: fitted, cut, implied, filled, folded."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from annotator.model.interval import Interval
from annotator.model.timecode import Ms


@dataclass
class Node:
    """A chapter in the making, with the chapters inside it.

    tag_id  of the tag it comes from; empty for one that is implied by those below it
    level   index of its facet among the levels, from 0; terms without facet stand below all
    place   in the order of the vocabulary
    titles  (level, title) of all that became one with it, its own first
    """

    start: Ms
    end: Ms
    title: str
    notation: str
    tag_id: str
    level: int
    place: int
    children: list["Node"] = field(default_factory=list)
    titles: list[tuple[int, str]] = field(default_factory=list)

    @property
    def range(self) -> Interval:
        return Interval(self.start, self.end)


def in_order(nodes: Iterable[Node]) -> list[Node]:
    """By start, the longer first, then from the highest level down, then as in the vocabulary."""
    return sorted(nodes, key=lambda node: (node.start, -node.end, node.level, node.place, node.tag_id))


def fit(nodes: Iterable[Node], nested: bool) -> tuple[list[Node], list[tuple[Node, Node]]]:
    """Which nodes can stand together, and which can't, each with the one that it runs into.

    Of two that can't, the one that starts earlier stays; of two with one start the longer. Side by
    side is always possible; one inside the other where `nested`; crossing never.
    """
    kept: list[Node] = []
    left_out: list[tuple[Node, Node]] = []
    around: list[Node] = []
    for node in in_order(nodes):
        while around and around[-1].end <= node.start:
            around.pop()
        if around and not (nested and around[-1].range.contains(node.range)):
            left_out.append((node, around[-1]))
        else:
            kept.append(node)
            around.append(node)
    return kept, left_out


def cut(node: Node, borders: Sequence[Ms]) -> list[Node]:
    """The node in parts, cut at those borders that lie inside it."""
    inside = [border for border in borders if node.start < border < node.end]
    edges = [node.start, *inside, node.end]
    return [
        Node(start, end, node.title, node.notation, node.tag_id, node.level, node.place)
        for start, end in pairwise(edges)
    ]


def trees(nodes: Iterable[Node]) -> list[Node]:
    """Nodes that lie beside or inside one another as trees, in order."""
    tops: list[Node] = []
    around: list[Node] = []
    for node in in_order(nodes):
        while around and around[-1].end <= node.start:
            around.pop()
        node.children = []
        (around[-1].children if around else tops).append(node)
        around.append(node)
    return tops


def fill(nodes: Sequence[Node]) -> list[Interval]:
    """Let each node last until the next one beside it starts; gives the gaps that were closed.

    What ended together with the node around it still does.
    """
    closed: list[Interval] = []
    for at, node in enumerate(nodes):
        if at + 1 < len(nodes) and node.end < nodes[at + 1].start:
            closed.append(Interval(node.end, nodes[at + 1].start))
            _extend(node, nodes[at + 1].start)
        closed += fill(node.children)
    return closed


def _extend(node: Node, end: Ms) -> None:
    if node.children and node.children[-1].end == node.end:
        _extend(node.children[-1], end)
    node.end = end


def fold(node: Node) -> list[Node]:
    """Make one of a node and those inside it with its very range, which no tree could tell apart; gives the folded."""
    folded: list[Node] = []
    node.titles = [(node.level, node.title)]
    while len(node.children) == 1 and node.children[0].range == node.range:
        same = node.children[0]
        node.titles.append((same.level, same.title))
        node.children = same.children
        folded.append(same)
    return folded


def full_title(node: Node) -> str:
    """`Tamponade: Gas`; of one level `Bimanual, En bloc`."""
    levels: dict[int, list[str]] = {}
    for level, title in node.titles or [(node.level, node.title)]:
        levels.setdefault(level, []).append(title)
    return ": ".join(", ".join(titles) for _, titles in sorted(levels.items()))


def walk(nodes: Iterable[Node], depth: int = 1) -> Iterator[tuple[int, Node]]:
    """Every node with its depth, from 1, in the order of a chapter file."""
    for node in nodes:
        yield depth, node
        yield from walk(node.children, depth + 1)
