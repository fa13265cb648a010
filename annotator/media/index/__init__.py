"""When each picture of a recording is shown."""
