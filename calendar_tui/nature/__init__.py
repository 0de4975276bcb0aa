"""Sky, lamps and plant: numbers and dates in, numbers and dates out."""
