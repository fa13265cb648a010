"""Long work in the background: its threads, its progress bars, its cancel."""
