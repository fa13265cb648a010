"""Pictures and sound of a recording, decoded for looking at."""
