"""The two sheets one draws on: Patch and Stage."""
