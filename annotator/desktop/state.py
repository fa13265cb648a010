"""What the enabled rules of commands may ask."""

from typing import NamedTuple


class State(NamedTuple):
    """The window's situation in a few yes or no."""

    has_case: bool = False
    writable: bool = False
    has_picture: bool = False
    can_undo: bool = False
    can_redo: bool = False
    something_runs: bool = False
    has_choice: bool = False
    lacks_picture: bool = False
    has_doubtful_recording: bool = False
    is_stuck: bool = False
    is_overtaken: bool = False
    is_gone: bool = False
    has_panel: bool = False
