"""Moving an edge of a tag to a time that was typed, in the form or in the tag list."""

from annotator.desktop.editing.controller import Controller, Edge
from annotator.errors import InvalidTime
from annotator.model import edits
from annotator.model.case import Tag
from annotator.model.timecode import clock, parse

RUNNING, MOMENT = "running", "a moment"
"""What stands in place of an end that is not a time of its own."""


def edge_text(tag: Tag, edge: Edge) -> str:
    """An edge as it is shown, and may be typed over."""
    if edge == "start":
        return clock(tag.start)
    return RUNNING if tag.end is None else MOMENT if tag.end == tag.start else clock(tag.end)


def put_edge(controller: Controller, tag_id: str, edge: Edge, text: str) -> bool:
    """Put an edge at the frame nearest to the time that `text` says, and show that frame unless the recording plays.

    Returns whether that could be done; what stood in the way has been said.
    """
    tag = controller.case.by_id.get(tag_id)
    if tag is None or text.strip() == edge_text(tag, edge):
        return True
    try:
        at = controller.frames.nearest(min(parse(text), controller.case.duration))
    except InvalidTime as error:
        controller.said.emit(str(error), True)
        return False
    whole = tag.end == tag.start and edge == "start"
    done = controller.do(
        lambda case: edits.move(case, tag_id, at, at) if whole else edits.move_boundary(case, tag_id, edge, at)
    )
    if done and not controller.player.is_playing:
        controller.player.seek(at)
    return done
