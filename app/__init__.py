"""The window: views and gestures over the core. No trade knowledge lives here."""

import os

# No record has a plugin; looking for one, the checker would read the name of every package installed at each start.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
