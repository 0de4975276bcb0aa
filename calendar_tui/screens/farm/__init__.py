"""The farm: its places, varieties, crew and capacities."""
