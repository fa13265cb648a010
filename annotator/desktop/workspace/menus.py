"""Context menus on the parts of the open case: the commands of the menu, and those for the place clicked."""

from collections.abc import Iterable
from functools import partial

from PySide6.QtCore import QModelIndex, QPoint

from annotator.desktop.commands.command_set import CommandSet
from annotator.desktop.steps.sheet_rows import SheetRow
from annotator.desktop.widgets.row_model import ROLE
from annotator.desktop.widgets.shortcut_menu import Choice, ItemMenu, MenuItem, pop_up
from annotator.desktop.workspace.bench import Bench
from annotator.model.timecode import Ms, clock

_TAG = (
    *("go_to_chosen", "play_selected", "toggle_loop", "previous_same", "next_same", ""),
    *("edit_start", "edit_end", "edit_step", "edit_note", "edit_by", "retag_chosen", ""),
    *("start_here", "end_here", "split_chosen", "join_next", "confirm_chosen", ""),
    *("copy_tags", "remove_chosen"),
)
_SPOT = ("repeat_step", "end_running", "", "zoom_in", "zoom_out", "zoom_whole", "fold_timeline")
_PICTURE = (
    *("toggle_play", "frame_back", "frame_on", ""),
    *("zoom_picture_in", "zoom_picture_out", "fit_picture", "actual_size", ""),
    *("place_from_picture", "show_picture_chart", "ask_picture", ""),
    *("toggle_caption", "fold_sheet", "fold_side", "full_screen"),
)


class Menus:
    """Lives as long as the widgets that it serves."""

    def __init__(self, bench: Bench, commands: CommandSet) -> None:
        self._bench = bench
        self._commands = commands
        ItemMenu(bench.record, lambda _index: self._actions(_TAG))
        ItemMenu(bench.sheet.view, self._of_step)
        ItemMenu(bench.findings.list, self._of_question)
        bench.picture.asked.connect(lambda at: pop_up(bench.picture, at, self._actions(_PICTURE)))
        bench.timeline.asked.connect(self._on_timeline)

    def _actions(self, names: Iterable[str]) -> list[MenuItem]:
        return [self._commands.actions[name] if name else None for name in names]

    def _of_step(self, index: QModelIndex) -> list[MenuItem]:
        row = index.data(ROLE)
        if not isinstance(row, SheetRow) or row.is_heading:
            return []
        look = Choice("Go to its next tag", partial(self._bench.sheet.looked.emit, row.concept))
        return [self._commands.tagging(row.concept), look, None, *self._actions(("find_step", "fold_sheet"))]

    def _of_question(self, index: QModelIndex) -> list[MenuItem]:
        """Where a question leads, and what can be done to the tag that it is about."""
        panel = self._bench.findings
        finding = panel.finding(index)
        if finding is None:
            return []
        go = Choice("Go there", partial(panel.go_to, finding))
        if not finding.tag_ids:
            return [go]
        self._bench.controller.select(finding.tag_ids[0])
        return [go, None, *self._actions(_TAG)]

    def _on_timeline(self, tag_id: str | None, at: Ms, place: QPoint) -> None:
        timeline = self._bench.timeline
        if tag_id is not None:
            pop_up(timeline, place, self._actions(_TAG))
        else:
            go = Choice(f"Go to {clock(at)}", partial(timeline.sought.emit, at))
            pop_up(timeline, place, [go, None, *self._actions(_SPOT)])
