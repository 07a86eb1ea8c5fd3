"""The panes around the sheets: shelf, details, findings."""
