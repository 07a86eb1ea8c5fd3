"""Rules of the family ``power``: outlets, strips, circuits, plugs, voltages, low-voltage supplies."""
