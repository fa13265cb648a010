"""The chart over the picture: shown on demand, and the way to say a place by a click on the retina itself."""

from collections.abc import Mapping

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction

from annotator.desktop.editing.controller import Controller
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.retina.painting import ChartContent
from annotator.desktop.retina.standing import StandingQuestion
from annotator.desktop.workspace.picture import Picture
from annotator.model.place import Field
from annotator.model.recording import View


class PictureChart(QObject):
    """Asks how the picture of a recording stands before the chart is first laid over it, and keeps the answer."""

    def __init__(
        self,
        controller: Controller,
        picture: Picture,
        actions: Mapping[str, QAction],
        preferences: Preferences,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._controller = controller
        self._picture = picture
        self._actions = actions
        self._preferences = preferences
        self._is_shown = self._is_placing = False
        self._tried: View | None = None
        self.question = StandingQuestion(picture)
        self.question.tried.connect(self._try)
        self.question.answered.connect(self._take_answer)
        self.question.takes.connect(picture.keep_free)
        picture.pointed.connect(self._place)
        controller.changed.connect(self.refresh)
        controller.selection_changed.connect(self.refresh)
        controller.player.shown.connect(self.refresh)
        for does in ("show_picture_chart", "place_from_picture"):
            actions[does].setChecked(False)

    def toggle(self) -> None:
        """Show the chart over the picture, or no longer."""
        self._use(shown=not self._is_shown, placing=False)

    def toggle_placing(self) -> None:
        """Let a click on the picture say where the selected tag took place, or no longer."""
        self._use(shown=self._is_shown or not self._is_placing, placing=not self._is_placing)

    def ask(self) -> None:
        """How the picture on screen stands."""
        self._controller.player.pause()
        self._tried = self._view
        self.question.ask(self._tried)
        self.refresh()

    @property
    def _recording(self) -> int:
        return self._controller.case.spot(self._controller.at).recording

    @property
    def _view(self) -> View:
        said = self._controller.case.recordings[self._recording].picture
        return self._tried or said or self._preferences.retina_view

    def _use(self, *, shown: bool, placing: bool) -> None:
        self._is_shown, self._is_placing = shown, placing
        lacks = self._controller.case.recordings[self._recording].picture is None
        if shown and lacks and not self._controller.session.read_only:
            self.ask()
        self.refresh()

    def _try(self, view: View) -> None:
        self._tried = view
        self.refresh()

    def _take_answer(self, view: View | None) -> None:
        self._tried = None
        if view is None:
            lacks = self._controller.case.recordings[self._recording].picture is None
            if lacks:  # no place is taken from a picture of which nobody says how it stands
                self._is_placing = self._is_shown = False
        else:
            self._controller.set_picture(view)
        self._picture.setFocus()
        self.refresh()

    def _place(self, field: Field) -> None:
        tag = self._controller.selected
        if tag is not None and len(self._controller.all_selected) == 1:
            self._controller.describe_selected(place=tag.place ^ {field})

    def refresh(self) -> None:
        """Show the place of the selected tag over the picture, as its recording stands."""
        controller = self._controller
        self._actions["show_picture_chart"].setChecked(self._is_shown)
        self._actions["place_from_picture"].setChecked(self._is_placing)
        tag = controller.selected if len(controller.all_selected) == 1 else None
        is_seen = self._is_shown or not self.question.isHidden()
        content = ChartContent(tag.place if tag else frozenset(), controller.case.eye, self._view) if is_seen else None
        lacks = controller.case.recordings[self._recording].picture is None
        can_place = self._is_placing and tag is not None and not lacks and not controller.session.read_only
        self._picture.show_chart(content, takes_clicks=can_place)
