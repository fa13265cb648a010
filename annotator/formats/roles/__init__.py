"""Lists of roles, and what a training body calls them."""
