"""What the rules ask for: distances, depths, and which two features ask anything of each other."""
