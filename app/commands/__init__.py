"""What the window's actions call, one file for each menu. The table that binds them is :mod:`app.actions`."""
