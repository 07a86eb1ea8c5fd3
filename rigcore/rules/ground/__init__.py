"""Loops of screens and protective earths, and where they may lawfully be opened."""
