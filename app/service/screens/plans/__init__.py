"""What the pages of published plans say: comparing, revisions, packs, retrofits, the timeline."""
