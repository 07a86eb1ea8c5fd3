"""The forms of the details pane, one for each kind of thing."""
