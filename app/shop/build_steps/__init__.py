"""Steps of building: which there are, in which order, and what each is about."""
