"""Every command of the window, as data: menus, keys, the command palette and the page of keys are made from this.

`does` is its id; `dispatch` and the window say which function carries it out, and a test sees that none is without.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple

from annotator.desktop.theme.icons import Icon
from annotator.model.vocabulary import Concept, Vocabulary


class State(NamedTuple):
    """The window's situation in a few yes or no: what the enabled rules of commands may ask.

    `undoes` and `redoes` are the lines of the changes that Undo and Redo are about; empty where that is not known.
    """

    has_case: bool = False
    writable: bool = False
    has_picture: bool = False
    can_undo: bool = False
    can_redo: bool = False
    undoes: str = ""
    redoes: str = ""
    something_runs: bool = False
    has_selection: bool = False
    lacks_picture: bool = False
    has_doubtful_recording: bool = False
    is_stuck: bool = False
    is_overtaken: bool = False
    is_gone: bool = False
    has_panel: bool = False
    is_zoomed: bool = False
    has_sound: bool = False
    has_kinds: bool = False


Rule = Callable[[State], bool]


def _always(_state: State) -> bool:
    return True


def _has_case(state: State) -> bool:
    return state.has_case


def _writable(state: State) -> bool:
    return state.writable


def _has_kinds(state: State) -> bool:
    return state.writable and state.has_kinds


def _has_picture(state: State) -> bool:
    return state.has_picture


def _has_sound(state: State) -> bool:
    return state.has_sound


def _plays_selected(state: State) -> bool:
    return state.has_picture and state.has_selection


def _placing(state: State) -> bool:
    return state.has_picture and state.has_selection and state.writable


def _turns(state: State) -> bool:
    return state.has_picture and state.writable


def _can_undo(state: State) -> bool:
    return state.can_undo


def _can_redo(state: State) -> bool:
    return state.can_redo


def _running(state: State) -> bool:
    return state.writable and state.something_runs


def _selected(state: State) -> bool:
    return state.writable and state.has_selection


def _has_selection(state: State) -> bool:
    return state.has_selection


def _read_only(state: State) -> bool:
    return state.has_case and not state.writable


def _lacks_picture(state: State) -> bool:
    return state.lacks_picture


def _doubtful_recording(state: State) -> bool:
    return state.has_doubtful_recording


def _zoomed(state: State) -> bool:
    return state.is_zoomed


def _has_panel(state: State) -> bool:
    return state.has_panel


def _stuck(state: State) -> bool:
    return state.is_stuck


def _overtaken(state: State) -> bool:
    return state.is_overtaken


def _other_there(state: State) -> bool:
    return state.is_overtaken and not state.is_gone


class Action(NamedTuple):
    """A command: its id, where it stands in the menu, its words, its keys, its icon, when it can be used, and whether
    it is a switch that is on or off.
    """

    does: str
    menu: str
    text: str
    keys: tuple[str, ...] = ()
    icon: Icon | None = None
    when: Rule = _always
    is_switch: bool = False


FILE, EDIT, PLAY, TAG, VIEW, HELP = "Case", "Edit", "Play", "Tag", "View", "Help"
MENUS = (FILE, EDIT, PLAY, TAG, VIEW, HELP)

ACTIONS = (
    Action("open_recordings", FILE, "Open recordings…", ("Ctrl+N",), Icon.OPEN_RECORDING),
    Action("open_case", FILE, "Open case…", ("Ctrl+O",), Icon.OPEN_CASE),
    Action("show_library", FILE, "Library…", ("Ctrl+Shift+O",), Icon.LIBRARY),
    Action("open_sample", FILE, "Try the sample", (), Icon.SAMPLE),
    Action("open_second_sample", FILE, "Try the second sample", (), Icon.SAMPLE),
    Action("show_recordings", FILE, "Recordings in this case…", (), Icon.OPEN_RECORDING, _writable),
    Action("mark_cut", FILE, "Mark recording as cut", (), None, _writable),
    Action("mark_sped_up", FILE, "Mark recording as sped up", (), None, _writable),
    Action("mark_slowed", FILE, "Mark recording as slowed down", (), None, _writable),
    Action("add_tags", FILE, "Add tags from a file…", (), None, _writable),
    Action("rename_case", FILE, "Rename case", (), None, _writable),
    Action("select_kind", FILE, "Kind of operation…", (), None, _has_kinds),
    Action("select_eye", FILE, "Right or left eye…", (), None, _writable),
    Action("show_facts", FILE, "Facts of the case…", (), None, _has_case),
    Action("save", FILE, "Save now", ("Ctrl+S",), None, _writable),
    Action("find_recording", FILE, "Find recording…", (), Icon.FIND, _lacks_picture),
    Action("choose_recording", FILE, "Select the recording’s file…", (), Icon.OPEN_RECORDING, _lacks_picture),
    Action("use_doubtful", FILE, "Use this recording", (), None, _doubtful_recording),
    Action("save_as", FILE, "Save as…", ("Ctrl+Shift+S",), None, _has_case),
    Action("show_in_folder", FILE, "Show in folder", (), Icon.OPEN_CASE, _has_case),
    Action("try_to_change", FILE, "Try editing again", (), None, _read_only),
    Action("try_to_keep", FILE, "Try saving again", (), None, _stuck),
    Action("close_without", FILE, "Close without saving", (), None, _stuck),
    Action("keep_mine", FILE, "Keep my version", (), None, _overtaken),
    Action("use_other", FILE, "Use the version on disk", (), None, _other_there),
    Action("save_elsewhere", FILE, "Save my version as…", (), None, _overtaken),
    Action("show_findings", FILE, "Check tags", ("Ctrl+E",), Icon.FINDINGS, _has_case),
    Action("show_comparison", FILE, "Compare with another person’s tags", ("Ctrl+Shift+D",), Icon.COMPARE, _has_case),
    Action("show_summary", FILE, "Summary", ("Ctrl+Shift+P",), Icon.SUMMARY, _has_case),
    Action("show_publish", FILE, "Publish…", ("Ctrl+P",), Icon.PUBLISH, _has_case),
    Action("carry_case", FILE, "Change vocabulary…", (), None, _writable),
    Action("close_case", FILE, "Close case", ("Ctrl+W",), Icon.CLOSE, _has_case),
    Action("quit", FILE, "Quit", ("Ctrl+Q",)),
    Action("undo", EDIT, "Undo", ("Ctrl+Z",), Icon.UNDO, _can_undo),
    Action("redo", EDIT, "Redo", ("Ctrl+Shift+Z", "Ctrl+Y"), Icon.REDO, _can_redo),
    Action("remove_chosen", EDIT, "Delete selected tags", ("Delete",), Icon.REMOVE, _selected),
    Action("select_all", EDIT, "Select all tags", ("Ctrl+A",), None, _has_case),
    Action("copy_tags", EDIT, "Copy selected tags", ("Ctrl+C",), None, _has_selection),
    Action("toggle_play", PLAY, "Play or pause", ("Space",), Icon.PLAY, _has_picture),
    Action("shuttle_back", PLAY, "Play backwards (again: faster)", ("J",), None, _has_picture),
    Action("pause", PLAY, "Stop playback", ("K",), None, _has_picture),
    Action("shuttle_on", PLAY, "Play forwards (again: faster)", ("L",), None, _has_picture),
    Action("frame_back", PLAY, "Previous frame", (",", "Left"), Icon.FRAME_BACK, _has_picture),
    Action("frame_on", PLAY, "Next frame", (".", "Right"), Icon.FRAME_ON, _has_picture),
    Action("second_back", PLAY, "Back one second", ("Shift+Left",), None, _has_picture),
    Action("second_on", PLAY, "Forward one second", ("Shift+Right",), None, _has_picture),
    Action("previous_boundary", PLAY, "Previous boundary", ("Up",), Icon.PREVIOUS_BOUNDARY, _has_case),
    Action("next_boundary", PLAY, "Next boundary", ("Down",), Icon.NEXT_BOUNDARY, _has_case),
    Action("go_to_chosen", PLAY, "Go to start of selected tag", ("Return",), None, _has_selection),
    Action("previous_gap", PLAY, "Previous gap", ("Ctrl+Up",), None, _has_case),
    Action("next_gap", PLAY, "Next gap", ("Ctrl+Down",), None, _has_case),
    Action("next_unconfirmed", PLAY, "Next proposed tag", ("Ctrl+U",), None, _has_case),
    Action("previous_unconfirmed", PLAY, "Previous proposed tag", ("Ctrl+Shift+U",), None, _has_case),
    Action("next_same", PLAY, "Next tag of the same step", ("Ctrl+G",), None, _has_selection),
    Action("previous_same", PLAY, "Previous tag of the same step", ("Ctrl+Shift+G",), None, _has_selection),
    Action("to_start", PLAY, "Start of case", ("Home",), None, _has_case),
    Action("to_end", PLAY, "End of case", ("End",), None, _has_case),
    Action("slower", PLAY, "Slower", ("-",), None, _has_picture),
    Action("faster", PLAY, "Faster", ("+",), None, _has_picture),
    Action("play_selected", PLAY, "Play selected tag", ("Shift+Space",), None, _plays_selected),
    Action("toggle_loop", PLAY, "Loop", ("Alt+L",), Icon.LOOP, _has_picture, is_switch=True),
    Action("louder", PLAY, "Louder", ("Alt+Up",), None, _has_sound),
    Action("quieter", PLAY, "Quieter", ("Alt+Down",), None, _has_sound),
    Action("toggle_mute", PLAY, "Mute", ("Alt+M",), Icon.NO_SOUND, _has_sound, is_switch=True),
    Action("end_running", TAG, "End running step", ("Escape",), Icon.STOP, _running),
    Action("start_here", TAG, "Start selected tag at this frame", ("[",), Icon.STARTS_HERE, _selected),
    Action("end_here", TAG, "End selected tag at this frame", ("]",), Icon.ENDS_HERE, _selected),
    Action("split_chosen", TAG, "Split selected tag at this frame", ("Ctrl+B",), Icon.SPLIT, _selected),
    Action("join_next", TAG, "Join with next tag of the same step", ("Ctrl+J",), None, _selected),
    Action("start_earlier", TAG, "Move start one frame earlier", ("Alt+Left",), None, _selected),
    Action("start_later", TAG, "Move start one frame later", ("Alt+Right",), None, _selected),
    Action("end_earlier", TAG, "Move end one frame earlier", ("Alt+Shift+Left",), None, _selected),
    Action("end_later", TAG, "Move end one frame later", ("Alt+Shift+Right",), None, _selected),
    Action("retag_chosen", TAG, "Change step of selected tags…", ("Ctrl+L",), None, _selected),
    Action("edit_start", TAG, "Edit start in the tag list", ("F3",), None, _selected),
    Action("edit_end", TAG, "Edit end in the tag list", ("F4",), None, _selected),
    Action("edit_step", TAG, "Edit step in the tag list", ("F2",), None, _selected),
    Action("edit_note", TAG, "Edit note in the tag list", ("Ctrl+M",), None, _selected),
    Action("edit_by", TAG, "Edit performer in the tag list", ("Ctrl+D",), None, _selected),
    Action("confirm_chosen", TAG, "Confirm selected tags", ("Ctrl+Return",), None, _selected),
    Action("repeat_step", TAG, "Repeat previous step", ("Ctrl+R",), None, _writable),
    Action("find_step", TAG, "Find step", ("Ctrl+F",), Icon.FIND, _has_case),
    Action("filter_tags", TAG, "Filter tags", ("Ctrl+Shift+F",), None, _has_case),
    Action("go_to_sheet", TAG, "Go to step list", ("Ctrl+1",), None, _has_case),
    Action("go_to_record", TAG, "Go to tag list", ("Ctrl+2",), None, _has_case),
    Action("go_to_fields", TAG, "Go to details of selected tag", ("Ctrl+3",), None, _has_selection),
    Action("go_to_place", TAG, "Go to place on the retina", ("Ctrl+4",), Icon.PLACE, _has_selection),
    Action("enlarge_chart", TAG, "Show or hide large retina chart", ("Ctrl+5",), Icon.LARGER, _has_selection),
    Action("place_from_picture", TAG, "Place from picture", ("Ctrl+6",), Icon.PLACE, _placing, is_switch=True),
    Action("show_picture_chart", VIEW, "Retina chart on the picture", ("Ctrl+7",), None, _has_picture, is_switch=True),
    Action("ask_picture", VIEW, "How the picture stands…", (), None, _turns),
    Action("open_menu", VIEW, "Open shortcut menu", ("Shift+F10",)),
    Action("find_command", VIEW, "Find command", ("Ctrl+K",), Icon.FIND),
    Action("close_panel", VIEW, "Close panel", ("Escape",), None, _has_panel),
    Action("zoom_in", VIEW, "Zoom in on the timeline", ("Ctrl++", "Ctrl+="), None, _has_case),
    Action("zoom_out", VIEW, "Zoom out of the timeline", ("Ctrl+-",), None, _has_case),
    Action("zoom_whole", VIEW, "Show whole case in the timeline", ("Ctrl+0",), None, _has_case),
    Action("zoom_picture_in", VIEW, "Zoom in on the picture", ("Alt++", "Alt+="), Icon.ZOOM_IN, _has_picture),
    Action("zoom_picture_out", VIEW, "Zoom out of the picture", ("Alt+-",), Icon.ZOOM_OUT, _zoomed),
    Action("fit_picture", VIEW, "Fit picture", ("Alt+0",), None, _zoomed),
    Action("actual_size", VIEW, "Picture at 100 %", ("Alt+1",), None, _has_picture),
    Action("pan_left", VIEW, "Move left in the picture", ("Ctrl+Shift+Left",), None, _zoomed),
    Action("pan_right", VIEW, "Move right in the picture", ("Ctrl+Shift+Right",), None, _zoomed),
    Action("pan_up", VIEW, "Move up in the picture", ("Ctrl+Shift+Up",), None, _zoomed),
    Action("pan_down", VIEW, "Move down in the picture", ("Ctrl+Shift+Down",), None, _zoomed),
    Action("fold_sheet", VIEW, "Collapse or expand step list", ("F7",), Icon.STEPS, _has_case),
    Action("fold_side", VIEW, "Collapse or expand side panel", ("F8",), Icon.RECORD, _has_case),
    Action("fold_timeline", VIEW, "Collapse or expand timeline", ("F9",), Icon.TIMELINE, _has_case),
    Action("full_screen", VIEW, "Full screen", ("F11",)),
    Action("toggle_caption", VIEW, "Show or hide step and clock on the picture", ("Ctrl+I",), None, _has_picture),
    Action("show_settings", VIEW, "Settings…", ("Ctrl+,",), Icon.SETTINGS),
    Action("toggle_theme", VIEW, "Switch between light and dark", ("Ctrl+T",), Icon.DARK),
    Action("toggle_single_keys", VIEW, "Single-key shortcuts on or off", ("Ctrl+Shift+K",), Icon.KEYS),
    Action("show_guide", HELP, "Guide", ("F1",), Icon.HELP),
    Action("show_keys", HELP, "Keyboard shortcuts", (), Icon.KEYS),
    Action("write_key_page", HELP, "Save keyboard shortcuts page…", (), Icon.KEYS),
    Action("show_log", HELP, "Show log folder"),
    Action("show_licences", HELP, "Licences"),
    Action("show_about", HELP, "About"),
)

ENDS_GROUP = {
    FILE: ("open_second_sample", "add_tags", "select_eye", "save_elsewhere", "show_publish", "carry_case"),
    EDIT: ("redo", "remove_chosen"),
    PLAY: ("shuttle_on", "second_on", "go_to_chosen", "previous_same", "to_end", "faster", "toggle_loop"),
    TAG: ("end_running", "join_next", "end_later", "edit_by", "repeat_step", "filter_tags", "go_to_place"),
    VIEW: ("ask_picture", "close_panel", "zoom_whole", "actual_size", "pan_down", "toggle_caption"),
    HELP: ("write_key_page", "show_log"),
}
"""The commands of each menu below which it has a line."""

IN_TROUBLE = frozenset(
    action.does
    for action in ACTIONS
    if action.when in (_lacks_picture, _doubtful_recording, _read_only, _stuck, _overtaken, _other_there)
)
"""Commands that a menu offers only while they can be used: they mend what is seldom broken."""

BY_NAME = {action.does: action for action in ACTIONS}

BORROWERS = frozenset({"close_panel"})
"""Commands whose key is another one's, and theirs only for as long as they can be used: what is open closes first."""


Changed = Mapping[str, tuple[str, ...]]
"""What the user has changed: all keys of a command, by its name, or of a concept, by its IRI."""

_NONE: Changed = {}


class Keys(NamedTuple):
    """Which key does what in one case, no key twice; `without` are the concepts whose key another concept has."""

    commands: dict[str, tuple[str, ...]]
    concepts: dict[str, str]
    without: tuple[str, ...]

    def of(self, name: str) -> tuple[str, ...]:
        """The keys of a command, by its name, or of a concept, by its IRI."""
        return self.commands.get(name, (self.concepts[name],) if name in self.concepts else ())

    def holder(self, key: str) -> str | None:
        """The name of the command, or the IRI of the concept, that has a key."""
        return next((name for name in (*self.commands, *self.concepts) if key in self.of(name)), None)


def shared_out(actions: Iterable[Action], vocabulary: Vocabulary | None, changed: Changed = _NONE) -> Keys:
    """Give every key to one command. What the user has changed comes first. Then come the steps, in the order of the
    sheet, as the vocabulary is what the hand knows by heart; a command gives up a key that a step has and keeps its
    others.
    """
    concepts = {one.iri: usual_key(one) for one in (vocabulary.concepts if vocabulary else ())}
    commands = {action.does: action.keys for action in actions}
    wanted = {name: changed.get(name, usual) for name, usual in (concepts | commands).items()}
    taken: set[str] = set()
    given: dict[str, tuple[str, ...]] = {}
    for name in sorted(wanted, key=lambda name: name not in changed):
        borrows = name in BORROWERS and name not in changed
        free = (key for key in wanted[name] if borrows or key not in taken)
        given[name] = tuple(free)[: 1 if name in concepts else None]
        taken |= set(given[name])
    return Keys(
        {does: given[does] for does in commands},
        {iri: given[iri][0] for iri in concepts if given[iri]},
        tuple(iri for iri in concepts if wanted[iri] and not given[iri]),
    )


def usual_key(concept: Concept) -> tuple[str, ...]:
    """The key that the vocabulary gives a concept, if it gives one."""
    return (concept.key.upper(),) if concept.key else ()


def is_single(key: str) -> bool:
    """Whether a key is a letter, figure or sign, capital or not: those that WCAG 2.2, 2.1.4 speaks of."""
    return len(key.removeprefix("Shift+")) == 1
