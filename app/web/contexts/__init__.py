"""What each page shows, as typed values; templates only lay it out."""
