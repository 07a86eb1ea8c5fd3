"""Lists for people, all derived from the patch: nothing here is ever typed in twice."""
