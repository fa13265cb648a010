"""The tag list, and the form of the selected tag."""
