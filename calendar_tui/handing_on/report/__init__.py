"""The growers' page: what a season and its trials found, in plain words, tables and drawings, as HTML, Markdown and data."""
