"""The notices for a case whose recordings, permissions or history are unusual, and what they offer to do."""

from collections.abc import Mapping, Sequence

from PySide6.QtGui import QAction

from annotator.desktop.editing.opening import Opened
from annotator.desktop.theme.icons import Icon
from annotator.desktop.widgets.notice import Notices
from annotator.errors import ChangedOutside, listed
from annotator.model.timecode import Ms, clock
from annotator.store.recordings import path_to_keep

MISSING, CHANGED, UNKNOWN, DISK, OVERTAKEN, DAMAGED = "missing", "changed", "unknown", "disk", "overtaken", "damaged"
"""What a notice is about, so that a later one takes its place."""


class CaseNotices:
    """The notices of an open case, by what was found when it was opened or its recordings were looked at anew."""

    def __init__(self, notices: Notices, opened: Opened, actions: Mapping[str, QAction]) -> None:
        self._notices = notices
        self._opened = opened
        self._actions = actions

    def say(self) -> None:
        opened, session = self._opened, self._opened.session
        if session.read_only:
            held = f"Open elsewhere, {session.holder}: you can look and publish, but not edit"
            says = held if session.holder else f"{opened.why_read_only}. You can look and publish"
            self._notices.add(Icon.LOCKED, f"{says}.", self._offers("try_to_change"))
        # What another window has not saved yet is no work that was interrupted.
        if session.recovered and opened.is_new and not session.holder:
            self._notices.add(Icon.DONE, _recovered(session.recovered))
        self._say_recordings()
        for note in (*(session.warnings if opened.is_new else ()), *opened.notes):
            self._notices.add(Icon.WARNING, note)
        if opened.frames.has(0) and not opened.has_sound:
            self._notices.add(Icon.NO_SOUND, "This recording has no sound.")

    def say_missing(self, searched: str = "") -> None:
        """Say which recordings are not there, or what came of searching for them."""
        names = self._names(self._opened.in_state("missing"))
        if names:
            says = f"{_what(names, 'was not found', 'were not found')}. All tags are here and can be edited."
            self._notices.add(Icon.MISSING, searched or says, self._ways_back(), about=MISSING)

    def say_damaged(self, recording: int, at: Ms) -> None:
        """Say, once for each recording, that it turned out to be damaged at a case time."""
        name = self._names([recording])[0]
        says = (
            f"The recording {listed([name])} is damaged at {clock(at)}: frames there are missing or broken. "
            "Tags keep their times."
        )
        self._notices.add(Icon.WARNING, says, about=f"{DAMAGED} {recording}")

    def say_stuck(self, says: str) -> None:
        """Say why the disk takes nothing; empty once it does."""
        if says:
            self._notices.add(Icon.WARNING, says, self._offers("try_to_keep"), about=DISK)
        else:
            self._notices.remove(DISK)

    def say_kept_open(self, says: str) -> None:
        """Say why the case was not closed."""
        self._notices.add(Icon.WARNING, says, self._offers("try_to_keep", "close_without"), about=DISK)

    def say_overtaken(self, by: ChangedOutside | None) -> None:
        """Say that another program has changed the case's file; None once it is settled which version counts."""
        if by is None:
            self._notices.remove(OVERTAKEN)
        elif by.is_gone:
            says = "The case’s file is gone: it was deleted, moved or renamed. Your version is complete here."
            self._notices.add(Icon.WARNING, says, self._offers("keep_mine", "save_elsewhere"), about=OVERTAKEN)
        else:
            says = "Another program has changed the case’s file. Whichever version you keep, the other is saved too."
            offers = self._offers("keep_mine", "use_other", "save_elsewhere")
            self._notices.add(Icon.WARNING, says, offers, about=OVERTAKEN)

    def why_no_picture(self, recording: int) -> tuple[str, Sequence[QAction]]:
        """What stands in place of a recording's picture, and what is offered there."""
        name = self._names([recording])[0]
        match self._opened.located[recording].state:
            case "missing":
                return f"{name}\nis not where it was. All tags are here.", self._ways_back()
            case "changed":
                says = f"{name}\nis not the file that was tagged. All tags are here."
                return says, self._ways_back("use_doubtful")
            case _:
                return f"{name}\ncan't be read. All tags are here.", ()

    def _say_recordings(self) -> None:
        opened = self._opened
        moved = self._names([one.recording for one in opened.located if one.state == "moved"])
        if moved and opened.is_new:
            kept = "" if opened.session.read_only else "; the case has its new place now"
            self._notices.add(Icon.DONE, f"{_what(moved, 'was', 'were')} found in another place{kept}.")
        self.say_missing()
        changed = self._names(opened.in_state("changed"))
        if changed:
            says = (
                f"{_what(changed, 'has', 'have')} changed since it was tagged. Every tag is kept, but may not match "
                "what the file shows now. Find the one that was tagged, or use this one if it is a copy of it."
            )
            self._notices.add(Icon.WARNING, says, self._ways_back("use_doubtful"), about=CHANGED)
        unknown = self._names(opened.in_state("unknown"))
        if unknown:
            says = (
                f"{_what(unknown, 'may not be', 'may not be')} what was tagged: the case does not say what is in "
                f"{'its file' if len(unknown) == 1 else 'their files'}. If the tags match the picture, use this one."
            )
            offers = () if opened.session.read_only else self._offers("use_doubtful")
            self._notices.add(Icon.WARNING, says, offers, about=UNKNOWN)

    def _names(self, recordings: Sequence[int]) -> list[str]:
        """Names as the case has them, of a moved one where it is now."""
        opened, names = self._opened, []
        for one in recordings:
            path = opened.located[one].path
            kept = opened.session.case.recordings[one].path
            names.append(kept if path is None else path_to_keep(path, opened.session.path))
        return names

    def _ways_back(self, *more: str) -> Sequence[QAction]:
        """What can be done for a recording without a picture, where the case can be changed."""
        if self._opened.session.read_only:
            return ()
        return self._offers("find_recording", *(more or ("choose_recording",)))

    def _offers(self, *names: str) -> Sequence[QAction]:
        return [self._actions[name] for name in names]


def _recovered(changes: int) -> str:
    counted = "a change that was" if changes == 1 else f"{changes} changes that were"
    return f"Work from before an interruption was recovered: {counted} not in the case's file yet. Nothing is lost."


def _what(names: Sequence[str], one: str, several: str) -> str:
    """`The recording “a” was`, or `2 recordings (a, b) were`."""
    if len(names) == 1:
        return f"The recording {listed(names)} {one}"
    return f"{len(names)} recordings ({', '.join(names)}) {several}"
