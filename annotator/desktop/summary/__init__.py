"""The page of figures: how long and how often each step was, by performer too, and what files say of it."""
