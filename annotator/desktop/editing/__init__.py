"""The open case without a widget: opening, changing, undoing, saving."""
