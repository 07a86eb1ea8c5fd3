"""One object for each gesture of the mouse, with a start, an end and a way to cancel it."""
