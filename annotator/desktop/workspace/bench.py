"""The workspace: the parts of the window around the open case, and the signals between them."""

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QMenu, QVBoxLayout, QWidget

from annotator.desktop.checks.findings_panel import FindingsPanel
from annotator.desktop.commands.actions import Keys, State
from annotator.desktop.comparison.panel import ComparisonPanel
from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.loop import Loop
from annotator.desktop.editing.opening import Opened
from annotator.desktop.editing.times import tags_at
from annotator.desktop.facts.panel import FactsPanel
from annotator.desktop.playback.frame_numbers import FrameNumbers
from annotator.desktop.preferences.cache_room import Room
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.preferences.used_terms import terms_of, with_terms
from annotator.desktop.publishing.panel import PublishPanel
from annotator.desktop.record.page import RecordPage
from annotator.desktop.retina.eye_change import change_eye
from annotator.desktop.start.recording_list import Entry
from annotator.desktop.steps.step_sheet import StepSheet
from annotator.desktop.summary.page import SummaryPage
from annotator.desktop.theme.icons import Icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.timeline.frame_preview import FramePreview
from annotator.desktop.timeline.lanes import LaneSet
from annotator.desktop.timeline.review_copies import ReviewCopies
from annotator.desktop.timeline.review_hover import HoverLook
from annotator.desktop.timeline.strip_maker import StripMaker
from annotator.desktop.timeline.timeline import Timeline
from annotator.desktop.widgets.focus import give_up_focus
from annotator.desktop.widgets.notice import Notices
from annotator.desktop.widgets.system import open_path
from annotator.desktop.widgets.tab_order import order_tabs
from annotator.desktop.workspace.adding_tags import AddingTags
from annotator.desktop.workspace.caption import caption_of
from annotator.desktop.workspace.case_notices import CaseNotices
from annotator.desktop.workspace.first_steps import FirstSteps, Step
from annotator.desktop.workspace.panels import Panels
from annotator.desktop.workspace.picture import Picture
from annotator.desktop.workspace.picture_chart import PictureChart
from annotator.desktop.workspace.relink import Relink
from annotator.desktop.workspace.top_bar import TopBar
from annotator.desktop.workspace.transport import Transport
from annotator.desktop.workspace.two_versions import TwoVersions
from annotator.desktop.workspace.volume import Volume
from annotator.measure.findings import questions
from annotator.media.cache.review_cache import ReviewCache
from annotator.media.cache.strip_cache import StripCache
from annotator.model.interval import Interval
from annotator.model.pieces import pieces
from annotator.model.timecode import Ms

_SHEET_EVERY = 200
"""Milliseconds between two updates of the times in the step list while the recording plays."""

_LOW = 800
"""Height in pixels below which the timeline is only as high as what is tagged in any case."""

_LOWEST = 560
"""Height in pixels below which the timeline takes a third of it, not two fifths: a screen of 1920x1080 at 200 %."""


class Bench(QWidget):
    def __init__(
        self,
        opened: Opened,
        controller: Controller,
        actions: Mapping[str, QAction],
        menu: QMenu,
        keys: Keys,
        theme: Theme,
        preferences: Preferences,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.controller = controller
        self._actions = actions
        self._preferences = preferences
        self._shapes = opened.shapes
        self._located = opened.located
        self.goes_on_at: Ms | None = None
        """Where the case is to be shown anew, once its recordings are others than those that are shown."""
        self.top = TopBar(actions, menu)
        self.first_steps = FirstSteps(actions, theme)
        if not preferences.shows_first_steps:
            self.first_steps.hide()
        self.notices = Notices(theme)
        self._case_notices = CaseNotices(self.notices, opened, actions)
        self.relink = Relink(opened, controller, self._case_notices, preferences, self)
        self.versions = TwoVersions(controller, self)
        self.adding = AddingTags(controller, self.notices, self)
        self._make_middle(keys, theme)
        self.loop = Loop(controller, self)
        self.volume = Volume(controller.player, preferences, actions["toggle_mute"], theme)
        self._has_sound = opened.has_sound
        self.transport = Transport(actions, theme, self.volume)
        self._make_timeline(opened, theme)
        self._lay_out()
        self._join()
        self.use_speeds(preferences.speeds)
        self._case_notices.say()
        self.adding.offer(opened.offered)
        # A burst of frames must not recount the sheet for each of them.
        self._slow = QTimer(self, singleShot=True, interval=_SHEET_EVERY)
        self._slow.timeout.connect(self._refresh_lists)
        self._refresh()

    # --- putting it together -----------------------------------------------------------------------------

    def _make_middle(self, keys: Keys, theme: Theme) -> None:
        """The picture, and the panels beside it."""
        controller, actions, preferences = self.controller, self._actions, self._preferences
        self._used_before = terms_of(controller.case)
        used = preferences.used_terms.get(controller.case.vocabulary.iri, {})
        self.sheet = StepSheet(controller, keys, actions, theme, used)
        self.picture = Picture(actions, theme)
        self.record_page = RecordPage(controller, actions, theme, preferences, self)
        self.record = self.record_page.record
        self.findings = FindingsPanel(controller, theme)
        self.facts = FactsPanel(controller, theme)
        self.publish = PublishPanel(controller, theme, preferences)
        self.summary = SummaryPage(controller, theme, preferences)
        self.comparison = ComparisonPanel(controller, theme)
        pages = self.record_page, self.findings, self.facts, self.publish, self.summary, self.comparison
        self.panels = Panels(self.sheet, self.picture, *pages, actions, preferences, self)
        self.picture_chart = PictureChart(controller, self.picture, actions, preferences, self)

    def _make_timeline(self, opened: Opened, theme: Theme) -> None:
        """The timeline, and what is made in the background for it and for jumps."""
        case, room = opened.session.case, Room.of(self._preferences)
        readable = [one.path if opened.frames.has(one.recording) else None for one in opened.located]
        contents = [one.content for one in opened.located]
        self.strips = StripMaker(case, readable, contents, StripCache(*room), self)
        self.timeline = Timeline(self.controller, theme, self.strips)
        self.copies = ReviewCopies(case, opened.frames, readable, contents, ReviewCache(*room), self)
        self.preview = FramePreview(theme, self)
        self._hover = HoverLook(self.preview, FrameNumbers(case, opened.frames), self.strips, self)

    def _lay_out(self) -> None:
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.top)
        whole.addWidget(self.first_steps)
        whole.addWidget(self.notices)
        whole.addWidget(self.panels.columns, 1)
        whole.addWidget(self.transport)
        whole.addWidget(self.timeline)
        middle = self.panels.columns.from_left
        order_tabs((self.top, self.first_steps, self.notices, *middle, self.transport, self.timeline))

    def _join(self) -> None:
        player = self.controller.player
        player.shown.connect(self._show_frame)
        player.playing_changed.connect(self.transport.show_playing)
        player.playing_changed.connect(self._show_what_plays)
        player.speed_changed.connect(self.transport.show_speed)
        player.speed_changed.connect(self.top.show_speed)
        player.failed.connect(self._show_failure)
        self.loop.changed.connect(self._show_loop)
        self.loop.said.connect(self.controller.said)
        self.volume.said.connect(self.controller.said)
        self.controller.changed.connect(self._refresh)
        self.controller.retry.stuck.connect(self._case_notices.say_stuck)
        self.controller.retry.kept_open.connect(self._case_notices.say_kept_open)
        self.controller.retry.overtaken.connect(self._case_notices.say_overtaken)
        self.top.renamed.connect(self.controller.rename)
        self.top.eye_selected.connect(lambda eye: change_eye(self.controller, eye, self, self._show_eye))
        self.sheet.tagged.connect(self.controller.tag)
        self.sheet.looked.connect(self.controller.look_at)
        self.timeline.sought.connect(player.seek)
        self.timeline.hovered.connect(self._show_preview)
        self.controller.changed.connect(self._put_preview_away)
        for action in self._actions.values():
            action.triggered.connect(self._put_preview_away)
        self.strips.done.connect(self.copies.start)
        self.copies.ready.connect(player.use_copy)
        self.copies.ready.connect(self._hover.use_copy)
        self.copies.ready.connect(self.timeline.closely.use_copy)
        self.copies.said.connect(self.controller.said)
        player.damaged.connect(self._show_damage)
        player.copy_failed.connect(self.copies.make_again)
        self.transport.speed_chosen.connect(player.set_speed)
        self.panels.publishing.connect(self.top.quiet_publish)
        self.panels.middle.currentChanged.connect(self._pause_unseen)
        player.playing_changed.connect(self.first_steps.take_playing)
        self.controller.changed.connect(self.first_steps.take_change)
        self.publish.wrote.connect(lambda: self.first_steps.tick(Step.PUBLISH))
        self.first_steps.finished.connect(self._put_first_steps_away)

    def _show_what_plays(self, playing: bool) -> None:
        """Whoever plays wants to see it, and not the figures in its place."""
        if playing:
            self.panels.show_picture()

    def _pause_unseen(self) -> None:
        """What stands in place of the picture is read in quiet."""
        if self.panels.middle.currentWidget() is not self.picture:
            self.controller.player.pause()

    def _put_preview_away(self) -> None:
        """Whoever works by keys does not look where the pointer happens to lie."""
        self._show_preview(None, 0)

    def _put_first_steps_away(self) -> None:
        self._preferences.shows_first_steps = False
        give_up_focus(self.first_steps)
        self.first_steps.hide()

    @property
    def state(self) -> State:
        """What can be done now."""
        return self.controller.state._replace(
            lacks_picture=self.relink.lacks_picture,
            has_doubtful_recording=self.relink.has_doubtful_recording,
            is_stuck=self.controller.retry.is_stuck,
            is_overtaken=self.controller.retry.is_overtaken,
            is_gone=self.controller.retry.is_gone,
            has_panel=self.panels.has_open,
            has_sound=self._has_sound,
            has_kinds=bool(self.controller.case.vocabulary.kinds),
            is_zoomed=self.picture.is_zoomed,
        )

    @property
    def entries(self) -> list[Entry]:
        """The recordings of the case, for a list of them."""
        case = self.controller.case
        counts = Counter(piece.recording for tag in case.tags for piece in pieces(case, tag.start, tag.end))
        return [
            Entry(one.path or Path(recording.path), recording, tags=counts[one.recording])
            for one, recording in zip(self._located, case.recordings, strict=True)
        ]

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._fit_timeline()

    def use_speeds(self, speeds: Sequence[float]) -> None:
        """Offer other speeds; what plays at one that is gone plays at 1."""
        player = self.controller.player
        self.controller.speeds = speeds
        if player.speed not in speeds:
            player.set_speed(1)
        self.transport.offer_speeds(speeds, player.speed)
        self.top.show_speed(player.speed)

    def use_room(self, room: Room) -> None:
        """Keep there, from now on, what can be made again."""
        self.strips.use_cache(StripCache(*room))
        self.copies.use_cache(ReviewCache(*room))

    def use_keys(self, keys: Keys) -> None:
        """Show other keys than before."""
        self.sheet.model.use_keys(keys)
        self.first_steps.show_keys()

    def close_down(self) -> None:
        """Stop all that is made beside the window, and what the player tells; nothing is written once this returns."""
        for part in (self.copies, self.strips, self._hover, self.timeline.closely):
            part.close()
        self._keep_what_is_used()
        self.publish.close_down()
        self.summary.close_down()
        self.comparison.close_down()
        self.relink.close_down()
        self.adding.close_down()
        self.controller.player.shown.disconnect(self._show_frame)

    def _keep_what_is_used(self) -> None:
        """Count the case for each concept that was first used in it here."""
        case = self.controller.case
        new = terms_of(case) - self._used_before
        if new:
            self._preferences.used_terms = with_terms(self._preferences.used_terms, case.vocabulary.iri, new)

    def fold_timeline(self) -> None:
        """Leave the picture more room, or less."""
        self._preferences.timeline_is_folded = not self._preferences.timeline_is_folded
        self._fit_timeline()

    def _fit_timeline(self) -> None:
        lanes = LaneSet.FEW if self.height() < _LOW else LaneSet.ALL
        most = self.height() * 2 // 5 if self.height() >= _LOWEST else self.height() // 3
        self.timeline.fit(LaneSet.FEWEST if self._preferences.timeline_is_folded else lanes, most)

    def toggle_caption(self) -> None:
        self.picture.shows_caption = not self.picture.shows_caption
        self.picture.update()

    def show_in_folder(self) -> None:
        """Let the system show where the case lies."""
        folder = self.controller.session.path.parent
        if not open_path(folder):
            self.controller.said.emit(f"The case lies in {folder}; nothing here can show that folder", True)

    def rename_case(self) -> None:
        self.top.title.setFocus()
        self.top.title.selectAll()

    def select_eye(self) -> None:
        """Open the field that says which eye it is."""
        self.top.eye.setFocus()
        self.top.eye.showPopup()

    def select_kind(self) -> None:
        """Open the field that says which kind of operation it is."""
        self.panels.go_to_kind()
        self.sheet.kind.showPopup()

    # --- repainting ---------------------------------------------------------------------------------------------

    def _show_frame(self, picture: object, at: int) -> None:
        spot = self.controller.case.spot(at)
        if picture is None:
            says, offers = self._case_notices.why_no_picture(spot.recording)
            self.picture.show_words(says, Icon.MISSING, offers)
        else:
            if self.picture.words:
                self.picture.show_words("")
            self.picture.show_picture(picture, *self._shapes[spot.recording])
        self.top.show_time(at)
        self.transport.show_frame(self._frame_text(at))
        self._show_place(spot.recording)
        self._show_caption()
        self.timeline.show_time(at)
        # Not before there is a frame on screen: the first one comes sooner with the machine to itself.
        self.strips.start()
        self.copies.find()
        if not self.controller.player.is_playing:
            self._refresh_lists()
        elif not self._slow.isActive():
            self._slow.start()

    def _show_loop(self, interval: Interval | None) -> None:
        self._actions["toggle_loop"].setChecked(interval is not None)
        self.timeline.show_loop(interval)

    def _show_preview(self, at: int | None, x: int) -> None:
        """A larger look at the frame under the pointer, just above the timeline."""
        self._hover.show(at, x, self.timeline.y() - UNIT)

    def _show_damage(self, recording: int, at: Ms) -> None:
        self._case_notices.say_damaged(recording, at)

    def _show_failure(self, says: str) -> None:
        self.notices.add(Icon.WARNING, says)

    def _refresh(self) -> None:
        case = self.controller.case
        session = self.controller.session
        self.top.show_case(case.title, session.path, writable=not session.read_only)
        self._show_eye()
        self.top.show_findings(questions(case))
        self.record_page.show_what_is_there()
        self._show_caption()
        self._refresh_lists()
        self.panels.refresh()

    def _show_eye(self) -> None:
        self.top.show_eye(self.controller.case.eye, writable=not self.controller.session.read_only)

    def _refresh_lists(self) -> None:
        self.sheet.refresh(self.controller.at)
        self.record.follow(self.controller.at)

    def _show_caption(self) -> None:
        """What the shown frame is tagged with."""
        case = self.controller.case
        self.picture.show_caption(caption_of(case, tags_at(case, self.controller.at), self.controller.at))

    def _show_place(self, recording: int) -> None:
        count = len(self.controller.case.recordings)
        self.top.show_place(f"recording {recording + 1} of {count}" if count > 1 else "")

    def _frame_text(self, at: int) -> str:
        spot = self.controller.case.spot(at)
        index = self.controller.frames.index(spot.recording)
        if index is None:
            return "no picture"
        rate = self.controller.case.recordings[spot.recording].frame_rate
        said = "variable frame rate" if rate is None else f"{round(float(rate), 3):g} fps"
        number = f"{index.shown_at(spot.at) + 1:,}".replace(",", " ")
        return f"frame {number} · {said}"
