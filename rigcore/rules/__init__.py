"""The rulebook: one rule one file, in folders by family; see ``rulebook.py`` for the order."""
