"""The core of Loomwright: catalogue, book, patch, rules, lists and paper.

Pure Python without a screen: nothing here imports the window toolkit, and
nothing here keeps state between calls.
"""

__version__ = "0.1.0"
