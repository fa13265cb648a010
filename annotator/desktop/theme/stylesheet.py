"""The one stylesheet of the program. Widgets name their kind in the property `kind`."""

from pathlib import Path

from annotator.desktop.theme.tokens import (
    CAPTION_GROUND,
    CLOCK_SIZE,
    CONTROL,
    CORNER,
    HEADLINE_SIZE,
    LARGE_CORNER,
    LARGE_SIZE,
    PICTURE_GROUND,
    PICTURE_MUTED,
    PICTURE_TEXT,
    ROW,
    SMALL_CONTROL,
    SMALL_CORNER,
    SMALL_ICON,
    SMALL_SIZE,
    TEXT_SIZE,
    UNIT,
    Colours,
)

_MARKS = Path(__file__).parent / "marks"


def stylesheet(colours: Colours, marks: str) -> str:
    """All rules; `marks` says which of the two sets of ticks and arrows fits the colours."""
    tick, opens = ((_MARKS / f"{mark}-{marks}.svg").as_posix() for mark in ("tick", "open"))
    groups = (_grounds, _labels, _buttons, _ranks, _lists, _menus)
    return "".join([*(group(colours) for group in groups), _fields(colours, opens), _ticks(colours, tick)])


def _grounds(c: Colours) -> str:
    """What things stand on, and the lines between them."""
    return f"""
    QWidget {{ color: {c.text}; font-size: {TEXT_SIZE}px; }}
    QMainWindow, QDialog, [kind="page"] {{ background: {c.ground}; }}
    [kind="panel"], [kind="bar"] {{ background: {c.panel}; }}
    [kind="bar"] {{ border: 0 solid {c.line}; }}
    [edge="bottom"] {{ border-bottom-width: 1px; }}
    [edge="top"] {{ border-top-width: 1px; }}
    [kind="side"] {{ background: {c.panel}; border: 0 solid {c.line}; }}
    [edge="right"] {{ border-right-width: 1px; }}
    [edge="left"] {{ border-left-width: 1px; }}
    [kind="sheet"] {{ background: {c.panel}; border: 1px solid {c.muted}; border-radius: {CORNER}px; }}
    [kind="over-picture"] {{ background: {CAPTION_GROUND}; border: 0; border-radius: {CORNER}px; }}
    [kind="over-picture"] QLabel, [kind="over-picture"] QPushButton {{ color: {PICTURE_TEXT}; }}
    [kind="over-picture"] QPushButton:hover {{ background: {PICTURE_GROUND}; border-color: {PICTURE_MUTED}; }}
    [kind="drop"] {{ border: 1px dashed {c.muted}; border-radius: {CORNER}px; color: {c.muted}; }}
    [kind="drop"][over="true"] {{ border: 2px solid {c.accent}; background: {c.accent_ground}; color: {c.text}; }}
    [kind="line"] {{ background: {c.line}; border: 0; }}
    """


def _labels(c: Colours) -> str:
    """Writing."""
    return f"""
    QLabel {{ background: transparent; }}
    QLabel[kind="title"] {{ font-weight: 600; }}
    QMessageBox QLabel {{ min-width: {80 * UNIT}px; }}
    QMessageBox QLabel#qt_msgbox_label {{ font-weight: 600; }}
    QLabel[kind="headline"] {{ font-size: {HEADLINE_SIZE}px; font-weight: 600; }}
    QLabel[kind="group"] {{ color: {c.muted}; font-size: {SMALL_SIZE}px; font-weight: 600; }}
    QLabel[kind="clock"] {{ font-size: {CLOCK_SIZE}px; }}
    QLabel[kind="second"] {{ color: {c.muted}; }}
    QLabel[kind="warning"] {{ color: {c.warning}; }}
    """


def _buttons(c: Colours) -> str:
    """All buttons."""
    return f"""
    QPushButton, QToolButton {{
        background: {c.raised}; border: 1px solid {c.line}; border-radius: {CORNER}px;
        min-height: {CONTROL - 2}px; padding: 0 {3 * UNIT}px;
    }}
    QToolButton {{ padding: 0 {2 * UNIT}px; }}
    QToolButton[kind="small"] {{ min-width: 22px; min-height: 22px; max-height: 22px; padding: 0; }}
    QToolButton[narrow="true"] {{ padding: 0 {UNIT}px; }}
    QToolButton::menu-indicator {{ image: none; }}
    QPushButton:hover, QToolButton:hover {{ border-color: {c.muted}; }}
    QPushButton:pressed, QToolButton:pressed {{ background: {c.line}; }}
    QPushButton:focus, QToolButton:focus {{ border: 2px solid {c.accent}; }}
    QPushButton:disabled, QToolButton:disabled {{ color: {c.muted}; background: transparent; }}
    QPushButton:checked, QToolButton:checked {{ border: 1px solid {c.accent}; background: {c.accent_ground}; }}
    QPushButton:checked:focus, QToolButton:checked:focus {{ border: 2px solid {c.accent}; }}
    """


def _ranks(c: Colours) -> str:
    """The one main button, quiet ones, and the cards of the start screen."""
    return f"""
    [rank="main"] {{ background: {c.accent}; color: {c.on_accent}; border-color: {c.accent}; font-weight: 600; }}
    [rank="main"]:hover, [rank="main"]:pressed {{ background: {c.accent}; border-color: {c.text}; }}
    [rank="main"]:disabled {{ background: transparent; border-color: {c.line}; }}
    [rank="main"]:focus {{ border: 1px solid {c.accent}; }}
    QMessageBox [rank="main"]:focus {{ border: 2px solid {c.text}; }}
    QPushButton[kind="card"] {{ border-radius: {LARGE_CORNER}px; padding: 0; min-height: 146px; max-height: 146px; }}
    QPushButton[kind="card"][low="true"] {{ min-height: 68px; max-height: 68px; }}
    QPushButton[kind="card"] QLabel {{ color: {c.muted}; }}
    QPushButton[kind="card"] QLabel[kind="title"] {{ color: {c.text}; font-size: {LARGE_SIZE}px; }}
    QPushButton[rank="main"][kind="card"] QLabel {{ color: {c.on_accent}; }}
    QPushButton[rank="main"][kind="card"] QLabel[kind="title"] {{ color: {c.on_accent}; }}
    QPushButton[kind="row"] {{ padding: 0; min-height: {2 * ROW}px; max-height: {2 * ROW}px; }}
    QPushButton[kind="field"] {{ text-align: left; }}
    [rank="quiet"] {{ background: transparent; border-color: transparent; }}
    QPushButton[kind="link"] {{
        background: transparent; border-color: transparent; color: {c.accent};
        min-height: 22px; max-height: 22px; padding: 0 {UNIT}px;
    }}
    [rank="quiet"]:hover {{ background: {c.raised}; }}
    """


def _fields(c: Colours, opens: str) -> str:
    """What is typed or chosen in."""
    return f"""
    QLineEdit, QComboBox, QPlainTextEdit {{
        background: {c.raised}; border: 1px solid {c.line}; border-radius: {CORNER}px;
        padding: 0 {2 * UNIT}px; selection-background-color: {c.accent}; selection-color: {c.on_accent};
    }}
    QLineEdit, QComboBox {{ min-height: {CONTROL - 2}px; }}
    QLineEdit[kind="title"] {{ background: transparent; border-color: transparent; font-weight: 600; }}
    QLineEdit[kind="title"]:hover:!read-only {{ border-color: {c.line}; }}
    QLineEdit:focus, QComboBox:focus {{
        border: 2px solid {c.accent}; padding: 0 {2 * UNIT - 1}px; min-height: {CONTROL - 4}px;
    }}
    QLineEdit[dense="true"], QComboBox[dense="true"], QPushButton[dense="true"], QToolButton[dense="true"] {{
        min-height: {SMALL_CONTROL - 2}px; padding: 0 {UNIT + 2}px;
    }}
    QToolButton[dense="true"] {{ padding: 0 2px; }}
    QLineEdit[dense="true"]:focus, QComboBox[dense="true"]:focus {{
        padding: 0 {UNIT + 1}px; min-height: {SMALL_CONTROL - 4}px;
    }}
    QPlainTextEdit:focus {{ border: 2px solid {c.accent}; padding: 0; }}
    QPlainTextEdit[dense="true"] {{ padding: 0 {UNIT - 1}px; }}
    QPlainTextEdit[dense="true"]:focus {{ padding: 0 {UNIT - 2}px; }}
    QLineEdit > QToolButton {{ min-height: 0; padding: 0; background: transparent; border: 0; }}
    QLineEdit QToolButton {{ background: transparent; border: 0; min-height: 0; padding: 0; }}
    QLineEdit:read-only {{ background: transparent; }}
    QPushButton[kind="choice"][dense="true"] {{
        text-align: left; background-image: url("{opens}"); background-origin: content;
        background-repeat: no-repeat; background-position: right center;
    }}
    QComboBox::drop-down {{ border: 0; width: 24px; }}
    QComboBox[dense="true"]::drop-down {{ width: 20px; }}
    QComboBox::down-arrow {{ image: url("{opens}"); width: {SMALL_ICON}px; height: {SMALL_ICON}px; }}
    QComboBox QAbstractItemView {{
        background: {c.raised}; border: 1px solid {c.line}; outline: 0;
        selection-background-color: {c.accent_ground}; selection-color: {c.text};
    }}
    """


def _lists(c: Colours) -> str:
    """Lists and what scrolls."""
    return f"""
    QListView {{ background: {c.panel}; border: 0; outline: 0; }}
    QTableView {{
        background: {c.panel}; border: 0; outline: 0; selection-background-color: {c.accent_ground};
        selection-color: {c.text};
    }}
    QTableView::item {{ border-bottom: 1px solid {c.raised}; padding: 0 {UNIT}px; }}
    QTableView::item:selected {{ background: {c.accent_ground}; color: {c.text}; }}
    QHeaderView, QTableCornerButton::section {{ background: {c.panel}; border: 0; }}
    QHeaderView::section {{
        background: {c.panel}; color: {c.muted}; border: 0; border-bottom: 1px solid {c.line};
        font-size: {SMALL_SIZE}px; font-weight: 600; padding: {UNIT}px {UNIT + 3}px;
    }}
    QHeaderView::section:hover {{ color: {c.text}; }}
    QScrollArea, QScrollArea > QWidget > QWidget {{ background: transparent; border: 0; }}
    QScrollBar:vertical {{ background: transparent; width: 12px; margin: 0; }}
    QScrollBar:horizontal {{ background: transparent; height: 12px; margin: 0; }}
    QScrollBar::handle {{ background: {c.line}; border-radius: {SMALL_CORNER}px; margin: 2px; }}
    QScrollBar::handle:vertical {{ min-height: 32px; }}
    QScrollBar::handle:horizontal {{ min-width: 32px; }}
    QScrollBar::handle:hover {{ background: {c.muted}; }}
    QScrollBar::add-line, QScrollBar::sub-line, QScrollBar::add-page, QScrollBar::sub-page {{
        background: transparent; height: 0; width: 0;
    }}
    """


def _menus(c: Colours) -> str:
    """Menus and tips."""
    return f"""
    QMenu {{ background: {c.raised}; border: 1px solid {c.line}; padding: {UNIT}px; menu-scrollable: 1; }}
    QMenu::item {{ padding: {UNIT}px {7 * UNIT}px {UNIT}px {3 * UNIT}px; border-radius: {SMALL_CORNER}px; }}
    QMenu::item:selected {{ background: {c.accent_ground}; color: {c.text}; }}
    QMenu::item:disabled {{ color: {c.muted}; }}
    QMenu::separator {{ height: 1px; background: {c.line}; margin: {UNIT}px; }}
    QMenu::icon {{ padding-left: {2 * UNIT}px; }}
    QToolTip {{ background: {c.raised}; color: {c.text}; border: 1px solid {c.line}; padding: {UNIT}px; }}
    """


def _ticks(c: Colours, tick: str) -> str:
    """Boxes to tick, bars of progress and sliders."""
    return f"""
    QCheckBox, QRadioButton {{
        spacing: {2 * UNIT}px; min-height: 24px; background: transparent;
        border: 2px solid transparent; border-radius: {SMALL_CORNER}px;
    }}
    QCheckBox:focus, QRadioButton:focus {{ border-color: {c.accent}; }}
    QCheckBox::indicator {{
        width: {SMALL_ICON}px; height: {SMALL_ICON}px; border: 1px solid {c.muted};
        border-radius: {SMALL_CORNER}px; background: {c.raised};
    }}
    QCheckBox::indicator:checked {{ background: {c.accent}; border-color: {c.accent}; image: url("{tick}"); }}
    QRadioButton {{ padding: 0 {UNIT}px; }}
    QRadioButton::indicator {{
        width: {SMALL_ICON - 2}px; height: {SMALL_ICON - 2}px; border: 1px solid {c.muted};
        border-radius: {SMALL_ICON // 2}px; background: {c.raised};
    }}
    QRadioButton::indicator:checked {{
        width: {SMALL_ICON - 10}px; height: {SMALL_ICON - 10}px; border: 5px solid {c.accent}; background: {c.panel};
    }}
    QProgressBar {{
        background: {c.raised}; border: 1px solid {c.line}; border-radius: {SMALL_CORNER}px;
        max-height: 8px; min-height: 8px;
    }}
    QProgressBar::chunk {{ background: {c.accent}; border-radius: 3px; }}
    QProgressBar[kind="thin"] {{
        background: {c.line}; border: 0; border-radius: 2px; max-height: 4px; min-height: 4px;
    }}
    QProgressBar[kind="thin"]::chunk {{ border-radius: 2px; }}
    QSlider {{ min-height: 24px; background: transparent; }}
    QSlider::groove:horizontal {{ height: 4px; background: transparent; }}
    QSlider::sub-page:horizontal {{ border-radius: 2px; background: {c.muted}; }}
    QSlider::add-page:horizontal {{ border-radius: 2px; background: {c.line}; }}
    QSlider::handle:horizontal {{
        width: 12px; margin: -6px 0; border-radius: 8px; border: 2px solid {c.panel}; background: {c.text};
    }}
    QSlider::handle:horizontal:focus {{ border-color: {c.accent}; }}
    QSlider::sub-page:horizontal:disabled, QSlider::handle:horizontal:disabled {{ background: {c.line}; }}
    """
