"""The open case on screen: the parts of the window joined, and the notices over them."""
