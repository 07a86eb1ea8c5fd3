"""The sheets that are tables: one frame for all, and a table of columns for each."""
