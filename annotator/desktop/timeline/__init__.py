"""The case along time: tags, thumbnails, sound, ruler and overview."""
