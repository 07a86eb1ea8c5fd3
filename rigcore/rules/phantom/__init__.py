"""48 V: who needs it, who gets it, who must not."""
