"""What several pages share: the view in an address, the report, switches, words."""
