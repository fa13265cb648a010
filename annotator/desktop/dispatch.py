"""Which function carries out which command of the open case."""

from collections.abc import Callable, Mapping
from functools import partial

from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.tag_commands import TagCommands
from annotator.desktop.workspace.bench import Bench
from annotator.desktop.workspace.picture import Picture
from annotator.model.recording import Altered

Function = Callable[[], object]


def functions_of(bench: Bench) -> Mapping[str, Function]:
    """The function of each command that needs an open case, by the command's id."""
    commands = TagCommands(bench.controller)
    return (
        _changes(bench.controller, commands)
        | _edges(bench.controller, commands)
        | _moves(bench.controller, commands)
        | _plays(bench.controller, commands)
        | _loops_and_sound(bench)
        | _typed(bench)
        | _recordings_and_versions(bench)
        | _panels(bench)
        | _timeline(bench)
        | _picture(bench.picture)
    )


def _changes(controller: Controller, commands: TagCommands) -> dict[str, Function]:
    return {
        "save": controller.save,
        "undo": controller.undo,
        "redo": controller.redo,
        "try_to_keep": controller.retry.try_again,
        "end_running": controller.end_running,
        "repeat_step": commands.repeat_step,
        "remove_chosen": controller.remove_selected,
        "split_chosen": controller.split_selected,
        "join_next": commands.join_next,
        "confirm_chosen": commands.confirm_selected,
        "copy_tags": commands.copy_tags,
    }


def _edges(controller: Controller, commands: TagCommands) -> dict[str, Function]:
    return {
        "start_here": controller.start_here,
        "end_here": controller.end_here,
        "start_earlier": commands.start_earlier,
        "start_later": commands.start_later,
        "end_earlier": commands.end_earlier,
        "end_later": commands.end_later,
    }


def _moves(controller: Controller, commands: TagCommands) -> dict[str, Function]:
    return {
        "frame_back": controller.frame_back,
        "frame_on": controller.frame_on,
        "second_back": controller.second_back,
        "second_on": controller.second_on,
        "to_start": controller.to_start,
        "to_end": controller.to_end,
        "previous_boundary": controller.previous_boundary,
        "next_boundary": controller.next_boundary,
        "go_to_chosen": controller.go_to_selected,
        "previous_same": commands.previous_same,
        "next_same": commands.next_same,
        "previous_gap": commands.previous_gap,
        "next_gap": commands.next_gap,
        "previous_unconfirmed": commands.previous_unconfirmed,
        "next_unconfirmed": commands.next_unconfirmed,
    }


def _plays(controller: Controller, commands: TagCommands) -> dict[str, Function]:
    return {
        "toggle_play": controller.player.toggle,
        "pause": commands.pause,
        "shuttle_on": commands.shuttle_on,
        "shuttle_back": commands.shuttle_back,
        "slower": controller.slower,
        "faster": controller.faster,
    }


def _loops_and_sound(bench: Bench) -> dict[str, Function]:
    return {
        "play_selected": bench.loop.play_selected,
        "toggle_loop": bench.loop.toggle,
        "louder": bench.volume.louder,
        "quieter": bench.volume.quieter,
        "toggle_mute": bench.volume.toggle_mute,
    }


def _typed(bench: Bench) -> dict[str, Function]:
    record = bench.record
    typed = {
        "edit_start": record.edit_start,
        "edit_end": record.edit_end,
        "edit_step": record.edit_step,
        "edit_note": record.edit_note,
        "edit_by": record.edit_by,
        "select_all": record.selectAll,
    }
    return {does: _in_record(bench, function) for does, function in typed.items()} | {
        "rename_case": bench.rename_case,
        "select_eye": bench.select_eye,
        "select_kind": bench.select_kind,
    }


def _in_record(bench: Bench, function: Function) -> Function:
    """The tag list may lie under another panel; a field that is typed in must be seen."""

    def call() -> None:
        bench.panels.show_record()
        function()

    return call


def _recordings_and_versions(bench: Bench) -> dict[str, Function]:
    return {
        "find_recording": bench.relink.find_recording,
        "choose_recording": bench.relink.choose_recording,
        "use_doubtful": bench.relink.use_doubtful,
        "try_to_change": bench.relink.try_to_change,
        "mark_cut": partial(bench.controller.mark_altered, Altered.CUT),
        "mark_sped_up": partial(bench.controller.mark_altered, Altered.SPED_UP),
        "mark_slowed": partial(bench.controller.mark_altered, Altered.SLOWED),
        "add_tags": bench.adding.add_tags,
        "keep_mine": bench.versions.keep_mine,
        "use_other": bench.versions.use_other,
        "save_as": bench.versions.save_as,
        "save_elsewhere": bench.versions.save_as,
        "show_in_folder": bench.show_in_folder,
    }


def _panels(bench: Bench) -> dict[str, Function]:
    panels = bench.panels
    return {
        "show_findings": panels.show_findings,
        "show_facts": panels.show_facts,
        "show_summary": panels.show_summary,
        "show_comparison": panels.show_comparison,
        "show_publish": panels.show_publish,
        "close_panel": panels.close_panel,
        "fold_sheet": panels.fold_sheet,
        "fold_side": panels.fold_side,
        "find_step": panels.find_step,
        "filter_tags": panels.filter_tags,
        "go_to_sheet": panels.go_to_sheet,
        "go_to_record": panels.go_to_record,
        "go_to_fields": panels.go_to_fields,
        "go_to_place": panels.go_to_place,
        "enlarge_chart": panels.enlarge_chart,
        "place_from_picture": bench.picture_chart.toggle_placing,
        "show_picture_chart": bench.picture_chart.toggle,
        "ask_picture": bench.picture_chart.ask,
    }


def _picture(picture: Picture) -> dict[str, Function]:
    return {
        "zoom_picture_in": picture.zoom_picture_in,
        "zoom_picture_out": picture.zoom_picture_out,
        "fit_picture": picture.fit_picture,
        "actual_size": picture.actual_size,
        "pan_left": picture.pan_left,
        "pan_right": picture.pan_right,
        "pan_up": picture.pan_up,
        "pan_down": picture.pan_down,
    }


def _timeline(bench: Bench) -> dict[str, Function]:
    return {
        "zoom_in": bench.timeline.zoom_in,
        "zoom_out": bench.timeline.zoom_out,
        "zoom_whole": bench.timeline.zoom_whole,
        "fold_timeline": bench.fold_timeline,
        "toggle_caption": bench.toggle_caption,
    }
