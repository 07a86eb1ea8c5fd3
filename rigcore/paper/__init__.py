"""Sheets for the house as PDF. The only package that knows reportlab, and only when a sheet is made.

What stands on the sheets is computed elsewhere; here it is laid out.
"""
