"""Writes and checks a workbook for adding capacity to a full dwelling panel."""

__version__ = "0.1.0"
