"""Records as tables for a spreadsheet, and such a table taken in again as one change."""
