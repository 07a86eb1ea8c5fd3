"""What an output has to drive: bridging, pickups, cable capacitance, loudspeakers, splits."""
