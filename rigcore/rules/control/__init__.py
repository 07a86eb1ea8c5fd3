"""Pedals, MIDI, USB, digital audio and clocks: roles, wiring and lengths."""
