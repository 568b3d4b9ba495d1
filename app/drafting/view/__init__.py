"""The board as it is looked at on screen."""
