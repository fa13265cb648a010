"""A fibrovascular membrane is dissected off a detached retina."""
