"""Long work beside the window: its threads, its progress bars, its cancel."""
