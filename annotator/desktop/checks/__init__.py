"""Questions about the tags of the open case."""
