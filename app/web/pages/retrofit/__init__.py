"""What a drilled board needs to become the one on screen."""
