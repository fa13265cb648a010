"""The retina chart: where on the retina a step took place."""
