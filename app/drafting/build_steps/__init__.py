"""Steps of building in words and pictures."""
