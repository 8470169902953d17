"""Papers for the bench: PDF sheets, templates, labels, tables."""
