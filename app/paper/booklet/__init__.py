"""The pages of a booklet that belong to no sheet: title, contents, what was proved."""
