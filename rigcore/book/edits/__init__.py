"""Every change a book can undergo, as pure functions ``Book -> Book``, by subject.

An edit either returns a book that holds in all its parts or raises
:class:`rigcore.errors.EditRefused` with one sentence, and the old book is
untouched either way.
"""
