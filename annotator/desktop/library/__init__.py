"""The library on screen: the cases of a folder tree, searched and asked."""
