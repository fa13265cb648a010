"""The open case on screen: the parts of the window joined, and what is said over them."""
