"""The window: views and gestures over the core. No trade knowledge lives here."""
