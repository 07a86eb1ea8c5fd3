"""Balanced, unbalanced, and over what length."""
