"""Rows for JSON, CSV and spreadsheets."""
