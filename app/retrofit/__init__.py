"""A board that is drilled already, and another that it shall become: what is done to each hole, by least work."""
